/**
 * What every tablet ledger must do, as named cases. They run over IndexedDB in a real browser
 * (tablet-ledger.web.test.ts) and over the memory ledger that other tests use (tests/unit/ledger-memory.test.ts).
 * The cases import nothing of Node or of a test runner, so that they can run in a page.
 */
import { issueTicket } from '../../src/domain/code.ts';
import { CURSOR_START, cursorAt } from '../../src/domain/cursor.ts';
import type { Cursor, PairId } from '../../src/domain/ids.ts';
import { asPairId, asRecordId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { type Draft, type LedgerRecord, thing } from '../../src/domain/record/kinds.ts';
import type { Enrolment, TabletLedger, Unsent } from '../../src/tablet/ledger/ledger.ts';
import { handAt, LAYING, MONDAY_8, PAIR, SITE, siteBook, WELTING, WLT } from '../support/builders.ts';
import { rejects, same } from './claims.ts';

export interface LedgerCase {
  readonly name: string;
  /** @param newLedger another window's ledger over the same store, which is empty when the case begins */
  readonly run: (newLedger: () => TabletLedger) => Promise<void>;
}

export const EPOCH = '0a1b2c3d';
const NEXT_EPOCH = '4e5f6a7b';
const at = (pos: number, epoch = EPOCH): Cursor => cursorAt({ epoch, pos });
const LATER = MONDAY_8 + 365 * DAY_MS;
const OTHER = asPairId('P0000AAA');
const idsOf = (records: readonly LedgerRecord[]) => records.map(({ id }) => id);
const seqsOf = (records: readonly LedgerRecord[]) => records.map(({ seq }) => seq);

/** What a page knows before the ledger has given it a sequence. */
export function draftsAt(bench = WELTING, count = 1, pair: PairId = PAIR): readonly Draft[] {
  const hand = handAt(bench);
  return Array.from({ length: count }, () => {
    const { seq: _seq, seen: _seen, ...draft } = hand.write('clocked-in', { pair });
    return draft;
  });
}

/** Records of another bench, as the server hands them out. */
export function pulledFrom(count: number, pair: PairId = PAIR) {
  const hand = handAt(LAYING);
  return Array.from({ length: count }, (_, index) => ({
    pos: index + 1,
    record: hand.write('clocked-in', { pair }),
  }));
}

/** An id for the record with this number, whoever made it. */
const idOf = (number: number) =>
  asRecordId(`019a4b2c-0000-7000-8000-${number.toString(16).padStart(12, '0')}`);

/** Own records as the server hands them back. */
const placedFrom = (records: readonly LedgerRecord[]) =>
  records.map((record, index) => ({ pos: index + 1, record }));

const heldIn = async (ledger: TabletLedger, pair = PAIR) =>
  [...(await ledger.recordsOfPair(pair))]
    .sort((a, b) => (a.pos ?? 0) - (b.pos ?? 0))
    .map(({ record, pos, epoch }) => [record.id, pos, epoch]);

export const ENROLMENT: Enrolment = {
  site: SITE,
  dataset: 'aldermoor-1',
  bench: WELTING,
  place: 'desk',
  name: 'Office',
  key: '0f'.repeat(32),
  lane: 5,
};

export const TABLET_LEDGER_CASES: readonly LedgerCase[] = [
  {
    name: 'an empty ledger has nothing, waits for nothing and knows nobody',
    async run(newLedger) {
      const ledger = newLedger();
      same(await ledger.recordsOfPair(PAIR), []);
      same(await ledger.waiting(10), []);
      same(await ledger.outbox(), { waiting: 0, oldestAt: null, refused: 0 });
      same((await ledger.settings()).enrolment, null);
      same((await ledger.settings()).cursor, CURSOR_START);
    },
  },
  {
    name: 'made records have the next sequence and what the tablet had seen, and wait in sequence',
    async run(newLedger) {
      const ledger = newLedger();
      const drafts = draftsAt(WELTING, 5);
      same(seqsOf(await ledger.commit(drafts.slice(0, 2))), [1, 2]);
      await ledger.apply(pulledFrom(7), at(7));
      const later = await ledger.commit(drafts.slice(2));
      same(seqsOf(later), [3, 4, 5]);
      same(
        later.map(({ seen }) => seen),
        [at(7), at(7), at(7)],
      );
      same(
        idsOf(await ledger.waiting(10)),
        drafts.map(({ id }) => id),
      );
      same(seqsOf(await ledger.waiting(2)), [1, 2]);
      same(await ledger.outbox(), { waiting: 5, oldestAt: MONDAY_8, refused: 0 });
    },
  },
  {
    name: 'each bench counts for itself',
    async run(newLedger) {
      const ledger = newLedger();
      same(seqsOf(await ledger.commit([...draftsAt(WELTING, 2), ...draftsAt(LAYING, 2)])), [1, 2, 1, 2]);
    },
  },
  {
    name: 'committing the same drafts again gives the records that were made, and no others',
    async run(newLedger) {
      const ledger = newLedger();
      const drafts = draftsAt(WELTING, 3);
      const made = await ledger.commit(drafts);
      same(await ledger.commit(drafts), made);
      same(await newLedger().commit(drafts), made);
      same((await ledger.outbox()).waiting, 3);
    },
  },
  {
    name: 'a draft that is no record is refused before anything of its batch is written',
    async run(newLedger) {
      const ledger = newLedger();
      const [good, bad] = draftsAt(WELTING, 2);
      if (good === undefined || bad === undefined) throw new Error('no drafts');
      await rejects(ledger.commit([good, { ...bad, at: -1 }]), 'RangeError');
      same(await ledger.outbox(), { waiting: 0, oldestAt: null, refused: 0 });
      same(seqsOf(await ledger.commit([good])), [1]);
    },
  },
  {
    name: 'two windows that commit at once leave no gap and use no number twice',
    async run(newLedger) {
      const windows = [newLedger(), newLedger()];
      const drafts = draftsAt(WELTING, 40);
      const made = await Promise.all(
        drafts.map((draft, index) => windows[index % 2]?.commit([draft]) ?? Promise.resolve([])),
      );
      same(
        seqsOf(made.flat()).sort((a, b) => a - b),
        Array.from({ length: 40 }, (_, index) => index + 1),
      );
      same(
        seqsOf(await newLedger().waiting(50)),
        seqsOf(await newLedger().waiting(50)).sort((a, b) => a - b),
      );
    },
  },
  {
    name: 'a confirmed record leaves the outbox and stays in the ledger',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 3));
      await ledger.confirm(idsOf(made.slice(0, 2)));
      same(seqsOf(await ledger.waiting(10)), [3]);
      same(seqsOf(await ledger.recordsOfBench(WELTING, 0)), [1, 2, 3]);
      same((await ledger.recordsOfPair(PAIR)).length, 3);
      await ledger.confirm(idsOf(made.slice(0, 2)));
      same((await ledger.outbox()).waiting, 1);
      same(seqsOf(await ledger.commit(draftsAt(WELTING, 4).slice(3))), [4]);
    },
  },
  {
    name: 'a refused record waits no more, is kept, and can still be confirmed',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 3));
      const [first] = made;
      if (first === undefined) throw new Error('nothing made');
      await ledger.refuse([{ id: first.id, reasons: ['stage: is not known here'] }]);
      same(seqsOf(await ledger.waiting(1)), [2]);
      same(await ledger.outbox(), { waiting: 2, oldestAt: made[1]?.at, refused: 1 });
      same((await ledger.recordsOfPair(PAIR)).length, 3);
      await ledger.confirm([first.id]);
      same((await ledger.outbox()).refused, 0);
    },
  },
  {
    name: 'refusing a record that was confirmed changes nothing',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 1));
      await ledger.confirm(idsOf(made));
      await ledger.refuse(made.map(({ id }) => ({ id, reasons: ['late'] })));
      same(await ledger.outbox(), { waiting: 0, oldestAt: null, refused: 0 });
    },
  },
  {
    name: 'pulled rows, their cursor and the epoch are there together',
    async run(newLedger) {
      const ledger = newLedger();
      const pulled = pulledFrom(3);
      same(await ledger.apply(pulled, at(3)), [PAIR]);
      same(
        await heldIn(newLedger()),
        pulled.map(({ pos, record }) => [record.id, pos, EPOCH]),
      );
      const { cursor, epoch } = await newLedger().settings();
      same([cursor, epoch], [at(3), EPOCH]);
    },
  },
  {
    name: 'the same page applied again changes nothing and touches no pair',
    async run(newLedger) {
      const ledger = newLedger();
      await ledger.apply(pulledFrom(3), at(3));
      const before = await heldIn(ledger);
      same(await ledger.apply(pulledFrom(3), at(3)), []);
      same(await ledger.apply([...pulledFrom(3), ...pulledFrom(3)], at(3)), []);
      same(await heldIn(ledger), before);
    },
  },
  {
    name: 'a page that comes late does not take the cursor back within its epoch',
    async run(newLedger) {
      const ledger = newLedger();
      await ledger.apply(pulledFrom(5), at(5));
      await ledger.apply(pulledFrom(2), at(2));
      same((await ledger.settings()).cursor, at(5));
      await ledger.apply(pulledFrom(2), at(2, NEXT_EPOCH));
      same((await ledger.settings()).cursor, at(2, NEXT_EPOCH));
    },
  },
  {
    name: 'an own record that comes back gets its place and keeps its content and its outbox entry',
    async run(newLedger) {
      const ledger = newLedger();
      const [own] = await ledger.commit(draftsAt(WELTING, 1));
      if (own === undefined) throw new Error('nothing made');
      same(await ledger.apply([{ pos: 9, record: { ...own, at: own.at + 1 } }], at(9)), [PAIR]);
      same(await ledger.recordsOfPair(PAIR), [{ record: own, pos: 9, epoch: EPOCH }]);
      same((await ledger.outbox()).waiting, 1);
    },
  },
  {
    name: 'placed records are held with their places, the cursor stays, and again is harmless',
    async run(newLedger) {
      const ledger = newLedger();
      await ledger.apply([], at(3));
      const page = pulledFrom(3).map(({ record }, index) => ({ pos: index + 7, record }));
      same(await ledger.place(page, EPOCH), [PAIR]);
      same(await ledger.place(page, EPOCH), []);
      same(
        await heldIn(ledger),
        page.map(({ pos, record }) => [record.id, pos, EPOCH]),
      );
      same((await ledger.settings()).cursor, at(3));
      same(await ledger.place([], EPOCH), []);
    },
  },
  {
    name: 'an own record that is placed keeps its content and stays in the outbox until the server’s word',
    async run(newLedger) {
      const ledger = newLedger();
      const [own] = await ledger.commit(draftsAt());
      await ledger.place([{ pos: 4, record: { ...own, text: 'another content' } }], EPOCH);
      same(await heldIn(ledger), [[own?.id, 4, EPOCH]]);
      same(await ledger.waiting(10), [own]);
    },
  },
  {
    name: 'a pair is held once a record of it has a place in this epoch',
    async run(newLedger) {
      const ledger = newLedger();
      same(await ledger.notHeld([PAIR, OTHER, PAIR], EPOCH), [PAIR, OTHER]);
      await ledger.commit(draftsAt());
      same(await ledger.notHeld([PAIR, OTHER], EPOCH), [PAIR, OTHER]);
      await ledger.place(pulledFrom(1), EPOCH);
      same(await ledger.notHeld([PAIR, OTHER], EPOCH), [OTHER]);
      same(await ledger.notHeld([PAIR, OTHER], NEXT_EPOCH), [PAIR, OTHER]);
      same(await ledger.notHeld([], EPOCH), []);
    },
  },
  {
    name: 'an old pair whose records all have their places is forgotten, and told of',
    async run(newLedger) {
      const [ledger, other] = [newLedger(), newLedger()];
      const told: PairId[] = [];
      const hand = handAt(LAYING);
      const page = [PAIR, PAIR, OTHER, PAIR, OTHER].map((pair, index) => ({
        pos: index + 1,
        record: hand.write('clocked-in', { pair }),
      }));
      await ledger.place(page, EPOCH);
      ledger.watch((pairs) => told.push(...pairs));
      same(await ledger.forget([PAIR], EPOCH, LATER), [PAIR]);
      same(await other.recordsOfPair(PAIR), []);
      same((await other.recordsOfPair(OTHER)).length, 2);
      same(await ledger.forget([PAIR], EPOCH, LATER), []);
      await Promise.resolve();
      same(told, [PAIR]);
      await ledger.place(page, EPOCH);
      same((await ledger.recordsOfPair(PAIR)).length, 3);
    },
  },
  {
    name: 'a pair stays whole while one of its records is young, without a place, of another epoch, or in the outbox',
    async run(newLedger) {
      const ledger = newLedger();
      const page = pulledFrom(3);
      const youngest = Math.max(...page.map(({ record }) => record.at));
      await ledger.place(page, EPOCH);
      same(await ledger.forget([PAIR], EPOCH, youngest), []);
      same(await ledger.forget([PAIR], NEXT_EPOCH, LATER), []);

      const [own] = await ledger.commit(draftsAt());
      same(await ledger.forget([PAIR], EPOCH, LATER), []);
      await ledger.place([{ pos: 4, record: own }], EPOCH);
      same(await ledger.forget([PAIR], EPOCH, LATER), []);
      await ledger.refuse([{ id: own?.id ?? idOf(0), reasons: ['stage: is no stage'] }]);
      same(await ledger.forget([PAIR], EPOCH, LATER), []);
      same((await ledger.recordsOfPair(PAIR)).length, 4);
      await ledger.confirm([own?.id ?? idOf(0)]);
      same(await ledger.forget([PAIR], EPOCH, LATER), [PAIR]);
    },
  },
  {
    name: 'a number that was used is not used again, though its record is forgotten',
    async run(newLedger) {
      const ledger = newLedger();
      await ledger.remember({ enrolment: { ...ENROLMENT, place: 'bench' } });
      const made = await ledger.commit(draftsAt(WELTING, 3));
      await ledger.confirm(idsOf(made));
      await ledger.apply(placedFrom(made), at(3));
      same(await ledger.forget([PAIR], EPOCH, LATER), [PAIR]);
      same(seqsOf(await newLedger().commit(draftsAt())), [4]);
      same(await ledger.serverHolds(WELTING, EPOCH, 3), 0);
    },
  },
  {
    name: 'all that is in the outbox can be looked at, with the reasons of what the server would not take',
    async run(newLedger) {
      const ledger = newLedger();
      const all = async () => {
        const unsent: Unsent[] = [];
        for await (const slice of ledger.inOutbox()) unsent.push(...slice);
        return unsent;
      };
      same(await all(), []);
      const made = await ledger.commit(draftsAt(WELTING, 1_200));
      const reasons = ['stage: is no stage', 'at: is missing'];
      await ledger.refuse([{ id: made[700]?.id ?? idOf(0), reasons }]);
      await ledger.confirm(idsOf(made.slice(0, 300)));
      same(
        await all(),
        made
          .slice(300)
          .map((record, index) =>
            index === 400 ? { record, state: 'refused', reasons } : { record, state: 'waiting', reasons: [] },
          ),
      );
    },
  },
  {
    name: 'a record of a newer tablet, or one nobody can read, is left out of folds and does no harm',
    async run(newLedger) {
      const ledger = newLedger();
      const [first, second, third, fourth] = pulledFrom(4);
      if (!first || !second || !third || !fourth) throw new Error('no records');
      const newer = { ...second.record, v: 99, hardness: 3 };
      const unknown = { ...third.record, kind: 'rack-moved' };
      const unreadable = { id: first.record.id, pair: PAIR };
      await ledger.apply(
        [
          first,
          { pos: 2, record: newer },
          { pos: 3, record: unknown },
          { pos: 4, record: unreadable },
          { pos: 5, record: 'not even an object' },
        ],
        at(5),
      );
      same(await heldIn(ledger), [[first.record.id, 1, EPOCH]]);
      same((await ledger.settings()).cursor, at(5));
    },
  },
  {
    name: 'records of another pair are not among a pair’s records',
    async run(newLedger) {
      const ledger = newLedger();
      const other = asPairId('P7K42B3X');
      await ledger.apply(pulledFrom(3, other), at(3));
      await ledger.commit(draftsAt(WELTING, 2));
      same((await ledger.recordsOfPair(PAIR)).length, 2);
      same((await ledger.recordsOfPair(other)).length, 3);
    },
  },
  {
    name: 'a bench’s own records come in sequence, from the instant asked for',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 4));
      await ledger.apply(pulledFrom(3), at(3));
      same(await ledger.recordsOfBench(WELTING, made[1]?.at ?? 0), made.slice(1));
      same((await ledger.recordsOfBench(LAYING, 0)).length, 3);
    },
  },
  {
    name: 'a bench’s own records come without a gap, though a clock that was wrong has dated some of them earlier',
    async run(newLedger) {
      const ledger = newLedger();
      const [one, two, three] = draftsAt(WELTING, 3);
      if (one === undefined || two === undefined || three === undefined) throw new Error('no drafts');
      const ahead = { ...two, at: MONDAY_8 + 40 * DAY_MS };
      const made = await ledger.commit([one, ahead, three]);
      same(await ledger.recordsOfBench(WELTING, MONDAY_8 + 26 * DAY_MS), made.slice(1));
      same(await ledger.recordsOfBench(WELTING, MONDAY_8 + 60 * DAY_MS), []);
    },
  },
  {
    name: 'what the server holds no longer waits again, and refused or waiting records are not doubled',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 6));
      await ledger.confirm(idsOf(made.slice(0, 4)));
      await ledger.refuse(made.slice(4, 5).map(({ id }) => ({ id, reasons: ['no'] })));
      await ledger.apply(placedFrom(made.slice(0, 4)), at(4));
      same(await ledger.serverHolds(WELTING, EPOCH, 4), 0);
      same(await ledger.serverHolds(WELTING, EPOCH, 2), 2);
      same(seqsOf(await ledger.waiting(10)), [3, 4, 6]);
      same((await ledger.outbox()).refused, 1);
      same(await ledger.serverHolds(WELTING, EPOCH, 2), 0);
    },
  },
  {
    name: 'two records under one number, both lost by a restored server, are both offered again',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 2));
      await ledger.confirm(idsOf(made));
      // This tablet was copied whole, and the copy has used number 2 as well.
      const [, second] = made;
      const other = { ...second, id: idOf(77) };
      await ledger.apply(placedFrom(made), at(2));
      await ledger.apply([{ pos: 3, record: other }], at(3));
      const offered = new Set<string>();
      for (let round = 1; round <= 3; round += 1) {
        await ledger.serverHolds(WELTING, NEXT_EPOCH, round === 1 ? 0 : 2);
        const waiting = await ledger.waiting(10);
        for (const { id } of waiting) offered.add(id);
        await ledger.apply(
          waiting.map((record, index) => ({ pos: round * 10 + index, record })),
          at(round * 10 + 9, NEXT_EPOCH),
        );
        await ledger.confirm(idsOf(waiting));
      }
      same([...offered].sort(), [...idsOf(made), idOf(77)].sort());
    },
  },
  {
    name: 'what a restored server has lost in the middle waits again, though it holds later records',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 5));
      await ledger.confirm(idsOf(made));
      await ledger.apply(placedFrom(made), at(5));
      same(await ledger.serverHolds(WELTING, EPOCH, 5), 0);
      // The restored server has 1 and 2 from its backup, and 5 was pushed before anybody noticed.
      const kept = made.filter(({ seq }) => seq !== 3 && seq !== 4);
      await ledger.apply(placedFrom(kept), at(3, NEXT_EPOCH));
      same(await newLedger().serverHolds(WELTING, NEXT_EPOCH, 5), 2);
      same(seqsOf(await ledger.waiting(10)), [3, 4]);
    },
  },
  {
    name: 'a store that was set back never uses a number again that the server holds',
    async run(newLedger) {
      const ledger = newLedger();
      const drafts = draftsAt(WELTING, 3);
      await ledger.commit(drafts.slice(0, 1));
      same(await ledger.serverHolds(WELTING, EPOCH, 40), 0);
      same(seqsOf(await ledger.commit(drafts.slice(1, 2))), [41]);
      same(await ledger.serverHolds(WELTING, EPOCH, 1), 0);
      same(seqsOf(await newLedger().commit(drafts.slice(2))), [42]);
    },
  },
  {
    name: 'every pair is read with all its records, own and pulled, each pair once',
    async run(newLedger) {
      const ledger = newLedger();
      const pairs = Array.from({ length: 30 }, (_, index) => issueTicket(2, index * 20).pair);
      const pulled = pairs.flatMap((pair, index) =>
        pulledFrom(25, pair).map(({ record }, place) => ({
          pos: index * 25 + place + 1,
          record: { ...record, id: idOf(index * 25 + place), seq: index * 25 + place + 1 },
        })),
      );
      await ledger.apply(pulled, at(pulled.length));
      await ledger.commit(draftsAt(WELTING, 2, pairs[7]));
      const read: [PairId, number][] = [];
      for await (const slice of newLedger().everyPair())
        for (const { pair, placed } of slice) read.push([pair, placed.length]);
      same(
        read.sort(([a], [b]) => (a < b ? -1 : 1)),
        pairs
          .map((pair, index): [PairId, number] => [pair, index === 7 ? 27 : 25])
          .sort(([a], [b]) => (a < b ? -1 : 1)),
      );
    },
  },
  {
    name: 'two windows that take tickets at once never get the same one, and go on after a new start',
    async run(newLedger) {
      const windows = [newLedger(), newLedger()];
      await newLedger().remember({ enrolment: ENROLMENT });
      const taken = await Promise.all(
        Array.from({ length: 20 }, (_, index) => windows[index % 2]?.takeTicket() ?? Promise.resolve(PAIR)),
      );
      same(new Set(taken).size, 20);
      const expected: PairId[] = [];
      for (let next = 0; expected.length < 21; ) {
        const issued = issueTicket(ENROLMENT.lane, next);
        expected.push(issued.pair);
        next = issued.next;
      }
      same([...taken].sort(), expected.slice(0, 20).sort());
      same(await newLedger().takeTicket(), expected[20]);
    },
  },
  {
    name: 'a store that was set back takes no ticket that has records, and one without a lane takes none',
    async run(newLedger) {
      const ledger = newLedger();
      await rejects(ledger.takeTicket(), 'RangeError');
      await ledger.remember({ enrolment: ENROLMENT });
      const first = issueTicket(ENROLMENT.lane, 0);
      await ledger.apply(pulledFrom(1, first.pair), at(1));
      same(await ledger.takeTicket(), issueTicket(ENROLMENT.lane, first.next).pair);
    },
  },
  {
    name: 'settings are remembered one by one, by every window',
    async run(newLedger) {
      const ledger = newLedger();
      const book = siteBook();
      await ledger.remember({ ticketCounter: 7, cameraId: 'back' });
      await newLedger().remember({ book, offsets: [{ offsetMs: -12.5, delayMs: 40 }] });
      await ledger.remember({ cameraId: null });
      const settings = await ledger.settings();
      same(
        [settings.ticketCounter, settings.cameraId, settings.book, settings.offsets],
        [7, null, book, [{ offsetMs: -12.5, delayMs: 40 }]],
      );
    },
  },
  {
    name: 'records about a thing are found by it, own and pulled, and no others',
    async run(newLedger) {
      const ledger = newLedger();
      const hand = handAt(WELTING);
      const {
        seq: _seq,
        seen: _seen,
        ...stopped
      } = hand.write('machine-stopped', {
        where: LAYING,
        stage: WLT,
        why: 'the guard is off',
      });
      const [own] = await ledger.commit([stopped]);
      await ledger.commit(draftsAt(WELTING, 1));
      const other = handAt(LAYING);
      const back = other.write('machine-back', { where: LAYING, stage: WLT, why: 'the guard is on' });
      const elsewhere = other.write('machine-stopped', { where: WELTING, stage: WLT, why: 'needle' });
      await ledger.apply(
        [back, elsewhere, own].map((record, index) => ({ pos: index + 1, record })),
        at(3),
      );
      const found = await newLedger().recordsOfThing(thing.machine(LAYING, WLT));
      same(
        found.map(({ record, pos }) => [record.id, pos]).sort(([, a], [, b]) => Number(a) - Number(b)),
        [
          [back.id, 1],
          [own?.id, 3],
        ],
      );
      same(await ledger.recordsOfThing(thing.machine('nowhere', WLT)), []);
    },
  },
  {
    name: 'it starts anew only when nothing waits, and then with nothing at all',
    async run(newLedger) {
      const ledger = newLedger();
      const made = await ledger.commit(draftsAt(WELTING, 2));
      await ledger.remember({ ticketCounter: 7 });
      let refused = false;
      await ledger.startAnew().catch(() => {
        refused = true;
      });
      same(refused, true);
      same((await ledger.recordsOfPair(PAIR)).length, 2);
      await ledger.confirm(made.map(({ id }) => id));
      await ledger.startAnew();
      same((await ledger.recordsOfPair(PAIR)).length, 0);
      const { ticketCounter, cursor } = await ledger.settings();
      same([ticketCounter, cursor], [0, '']);
      same(seqsOf(await ledger.commit(draftsAt(WELTING, 1))), [1]);
    },
  },
  {
    name: 'every window hears of a change, with the pairs that it touched',
    async run(newLedger) {
      const [here, there] = [newLedger(), newLedger()];
      const heard: (readonly PairId[])[] = [];
      const stop = there.watch((pairs) => heard.push(pairs));
      const heardHere = new Promise<readonly PairId[]>((resolve) => here.watch(resolve));
      await here.commit(draftsAt(WELTING, 1));
      same(await heardHere, [PAIR]);
      await until(() => heard.length === 1);
      await here.remember({ ticketCounter: 1 });
      await until(() => heard.length === 2);
      same(heard, [[PAIR], []]);
      stop();
      await here.remember({ ticketCounter: 2 });
      await new Promise((resolve) => setTimeout(resolve, 50));
      same(heard.length, 2);
    },
  },
];

async function until(true_: () => boolean): Promise<void> {
  for (let tries = 0; !true_(); tries += 1) {
    if (tries > 200) throw new Error('it never came');
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}

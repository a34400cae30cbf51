/**
 * What every server ledger must do, as named cases. `SERVER_LEDGER_CASES` take a ledger that is empty;
 * `LASTING_LEDGER_CASES` take a store that keeps what it was given, and can open it again and twice at once.
 */
import { expect } from 'vitest';
import type { Calendar } from '../../src/domain/calendar/calendar.ts';
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asBenchId, asPairId, asSiteId } from '../../src/domain/ids.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import type { Held, ServerLedger, Writer } from '../../src/server/ledger/ledger.ts';
import {
  handAt,
  INES,
  idOf,
  LAYING,
  MONDAY_8,
  PAIR,
  SITE,
  siteBook,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { newSiteOf } from '../support/server.ts';
import { FACTS_CACHE_CASES } from './facts-cache.ts';

export interface ServerLedgerCase {
  readonly name: string;
  readonly run: (ledger: ServerLedger) => Promise<void>;
}

export interface LastingLedgerCase {
  readonly name: string;
  /** @param open opens the one store of this case, as a new process would */
  readonly run: (open: () => Promise<ServerLedger>) => Promise<void>;
}

const OTHER_SITE = asSiteId('netherby');
const OTHER_PAIR = asPairId('P0000AAA');
const CODE = codeHash('a set-up code');

/** Every byte there is, and a part of a longer buffer, which must not come along. */
const PHOTO = {
  photo: codeHash('a photograph'),
  type: 'image/webp' as const,
  body: Uint8Array.from({ length: 600 }, (_, index) => index % 256).subarray(20, 320),
};

const writer = (bench = WELTING): Writer => ({ site: SITE, bench, place: 'bench' });
const answersOf = (answers: readonly { answer: string }[]) => answers.map(({ answer }) => answer);
const parsed = (held: readonly Held[]) => held.map(({ pos, json }) => [pos, JSON.parse(json)]);

/** Records of one bench on one pair, and one that clocks it out again. */
function shiftOf(bench = WELTING, count = 5) {
  const hand = handAt(bench);
  return Array.from({ length: count }, () => hand.write('clocked-in'));
}

async function held(ledger: ServerLedger): Promise<readonly [number, unknown][]> {
  return parsed(await ledger.read(SITE, 0, 10_000)) as [number, unknown][];
}

async function all(held: AsyncIterable<Held>): Promise<readonly Held[]> {
  const list: Held[] = [];
  for await (const one of held) list.push(one);
  return list;
}

const withSite = (run: (ledger: ServerLedger) => Promise<void>) => async (ledger: ServerLedger) => {
  await ledger.createSite(newSiteOf());
  await run(ledger);
};

async function addCode(ledger: ServerLedger, uses = 1): Promise<void> {
  const code = { hash: CODE, name: 'Welting', place: 'bench' as const, stages: [WLT], uses };
  await ledger.addSetUpCode(SITE, { ...code, until: MONDAY_8 + MINUTE_MS });
}

const enrolling = (number: number, now = MONDAY_8) => ({
  codeHash: CODE,
  keyHash: codeHash(`key ${number}`),
  bench: asBenchId(`b-${number}`),
  persisted: null,
  now,
});

export const SERVER_LEDGER_CASES: readonly ServerLedgerCase[] = [
  ...FACTS_CACHE_CASES,
  {
    name: 'an empty ledger has no site, and knows of none that is asked for',
    async run(ledger) {
      expect(await ledger.sites()).toEqual([]);
      expect(await ledger.standing(SITE, WELTING)).toBeNull();
      expect(await ledger.book(SITE)).toBeNull();
      expect(await ledger.read(SITE, 0, 10)).toEqual([]);
    },
  },
  {
    name: 'records get positions 1, 2, 3 … in the order sent, and come back as they were made',
    run: withSite(async (ledger) => {
      const records = shiftOf();
      expect(answersOf(await ledger.append(writer(), records, MONDAY_8))).toEqual(
        records.map(() => 'stored'),
      );
      expect(await held(ledger)).toEqual(records.map((record, index) => [index + 1, record]));
    }),
  },
  {
    name: 'reading goes on after a position and stops at the limit',
    run: withSite(async (ledger) => {
      await ledger.append(writer(), shiftOf(), MONDAY_8);
      expect((await ledger.read(SITE, 1, 2)).map(({ pos }) => pos)).toEqual([2, 3]);
      expect(await ledger.read(SITE, 5, 2)).toEqual([]);
    }),
  },
  {
    name: 'a batch sent again is had, and changes nothing',
    run: withSite(async (ledger) => {
      const records = shiftOf();
      await ledger.append(writer(), records, MONDAY_8);
      const before = await held(ledger);
      expect(answersOf(await ledger.append(writer(), records, MONDAY_8 + 1))).toEqual(
        records.map(() => 'had'),
      );
      expect(await held(ledger)).toEqual(before);
      expect(await ledger.standing(SITE, WELTING)).toMatchObject({ head: 5, heldSeq: 5 });
    }),
  },
  {
    name: 'a batch that is partly known leaves no gap between positions',
    run: withSite(async (ledger) => {
      const records = shiftOf();
      await ledger.append(writer(), records.slice(1, 3), MONDAY_8);
      const answers = await ledger.append(writer(), records, MONDAY_8);
      expect(answersOf(answers)).toEqual(['stored', 'had', 'had', 'stored', 'stored']);
      expect((await held(ledger)).map(([pos]) => pos)).toEqual([1, 2, 3, 4, 5]);
    }),
  },
  {
    name: 'a record twice in one batch is stored once',
    run: withSite(async (ledger) => {
      const [record] = shiftOf();
      expect(answersOf(await ledger.append(writer(), [record, record], MONDAY_8))).toEqual(['stored', 'had']);
      expect((await held(ledger)).map(([pos]) => pos)).toEqual([1]);
    }),
  },
  {
    name: 'the same content with its fields in another order is the same record',
    run: withSite(async (ledger) => {
      const [record] = shiftOf();
      await ledger.append(writer(), [record], MONDAY_8);
      const turned = Object.fromEntries(Object.entries(record ?? {}).reverse());
      expect(answersOf(await ledger.append(writer(), [turned], MONDAY_8))).toEqual(['had']);
    }),
  },
  {
    name: 'the same id with other content is refused, and what is held stays',
    run: withSite(async (ledger) => {
      const [record] = shiftOf();
      await ledger.append(writer(), [record], MONDAY_8);
      const other = { ...record, pair: OTHER_PAIR };
      const [answer] = await ledger.append(writer(), [other], MONDAY_8);
      expect(answer).toMatchObject({ answer: 'refused', reasons: ['id: another record is held under it'] });
      expect(await held(ledger)).toEqual([[1, record]]);
    }),
  },
  {
    name: 'a bad record is refused by itself with its reasons, and the others are held',
    run: withSite(async (ledger) => {
      const [first, second, third] = shiftOf();
      const bad = { ...second, stage: 'no stage' };
      const answers = await ledger.append(writer(), [first, bad, 'rubbish', null, third], MONDAY_8);
      expect(answersOf(answers)).toEqual(['stored', 'refused', 'refused', 'refused', 'stored']);
      expect(answers.map(({ index }) => index)).toEqual([0, 1, 2, 3, 4]);
      expect(answers[1]).toMatchObject({ id: second?.id, reasons: [expect.stringContaining('stage')] });
      expect(answers[2]).toMatchObject({ id: null });
      expect((await held(ledger)).map(([pos]) => pos)).toEqual([1, 2]);
    }),
  },
  {
    name: 'a record of another bench or another site is refused',
    run: withSite(async (ledger) => {
      const [record] = shiftOf(LAYING);
      const [answer] = await ledger.append(writer(WELTING), [{ ...record, site: OTHER_SITE }], MONDAY_8);
      expect(answer?.reasons).toEqual([
        'site: is not the site of this key',
        'bench: is not the bench of this key',
      ]);
    }),
  },
  {
    name: 'a desk logs pairs and does no bench work',
    run: withSite(async (ledger) => {
      const hand = handAt(LAYING);
      const records = [hand.write('pair-logged'), hand.write('clocked-in')];
      const answers = await ledger.append({ ...writer(LAYING), place: 'desk' }, records, MONDAY_8);
      expect(answersOf(answers)).toEqual(['stored', 'refused']);
    }),
  },
  {
    name: 'a kind or a version that is not known yet is held as it came',
    run: withSite(async (ledger) => {
      const [first, second] = shiftOf();
      const kind = { ...first, kind: 'weighed', grams: [812, 808], pair: PAIR };
      const version = { ...second, v: 7, stage: { code: 'WLT' }, pair: 12 };
      expect(answersOf(await ledger.append(writer(), [kind, version], MONDAY_8))).toEqual([
        'stored',
        'stored',
      ]);
      expect(await held(ledger)).toEqual([
        [1, kind],
        [2, version],
      ]);
      expect(parsed(await ledger.recordsOfPair(SITE, PAIR))).toEqual([[1, kind]]);
    }),
  },
  {
    name: 'a kind that is no name is refused, whatever version it claims',
    run: withSite(async (ledger) => {
      const records = shiftOf().slice(0, 3);
      const kinds = ['weighed\u0000', '\ud800', ' '];
      const raws = records.map((record, index) => ({ ...record, v: 7, kind: kinds[index] }));
      const answers = await ledger.append(writer(), raws, MONDAY_8);
      expect(answers.map(({ reasons }) => reasons)).toEqual(kinds.map(() => ['kind: is no name of a kind']));
    }),
  },
  {
    name: 'a field that is not known yet is held too',
    run: withSite(async (ledger) => {
      const [first] = shiftOf();
      const more = { ...first, spindle: { rpm: 2_400 }, proto: null };
      await ledger.append(writer(), [more], MONDAY_8);
      expect(await held(ledger)).toEqual([[1, more]]);
    }),
  },
  {
    name: 'what is nested too deeply or too long is refused by itself',
    run: withSite(async (ledger) => {
      const [first, second, third] = shiftOf();
      let deep: unknown = 1;
      for (let depth = 0; depth < 5_000; depth += 1) deep = [deep];
      const raws = [{ ...first, deep }, { ...second, long: 'x'.repeat(20_000) }, third];
      const answers = await ledger.append(writer(), raws, MONDAY_8);
      expect(answersOf(answers)).toEqual(['refused', 'refused', 'stored']);
      expect(answers[0]?.reasons).toEqual(['record: is nested more than 16 deep']);
      expect(answers[1]?.reasons).toEqual(['record: has more than 16384 bytes']);
    }),
  },
  {
    name: 'NUL, lone surrogates and names of Object’s own are text like any other',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const noted = hand.write('noted', { text: 'rib ’ü 🧵' });
      const odd = { ...hand.write('taken-up'), extra: 'a\u0000b\ud800c', constructor: 1, toString: 2 };
      const withProto = JSON.parse(
        `{${JSON.stringify(hand.write('taken-up')).slice(1, -1)},"__proto__":{"x":1}}`,
      );
      await ledger.append(writer(), [noted, odd, withProto], MONDAY_8);
      const back = await ledger.read(SITE, 0, 10);
      expect(back.map(({ json }) => json)).toEqual([noted, odd, withProto].map((one) => JSON.stringify(one)));
    }),
  },
  {
    name: 'records of several pairs come each with its pair, in their order and up to a position',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const pairs = [PAIR, OTHER_PAIR, PAIR, OTHER_PAIR, PAIR];
      const records = pairs.map((pair) => hand.write('clocked-in', { pair }));
      await ledger.append(writer(), records, MONDAY_8);
      const nobody = asPairId('P0000BBB');
      const found = await ledger.recordsOfPairs(SITE, [OTHER_PAIR, nobody, PAIR], 4);
      expect([...found].map(([pair, held]) => [pair, held.map(({ pos }) => pos)])).toEqual([
        [OTHER_PAIR, [2, 4]],
        [nobody, []],
        [PAIR, [1, 3]],
      ]);
      expect(parsed(found.get(PAIR) ?? [])).toEqual([
        [1, records[0]],
        [3, records[2]],
      ]);
      expect(await ledger.recordsOfPairs(SITE, [], 5)).toEqual(new Map());
    }),
  },
  {
    name: 'records of several hundred pairs are found too',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const pairs = Array.from({ length: 250 }, (_, index) => asPairId(`P${String(index).padStart(7, '0')}`));
      await ledger.append(
        writer(),
        pairs.map((pair) => hand.write('clocked-in', { pair })),
        MONDAY_8,
      );
      const found = await ledger.recordsOfPairs(SITE, pairs, 250);
      expect([...found.values()].flatMap((held) => held.map(({ pos }) => pos))).toEqual(
        pairs.map((_, index) => index + 1),
      );
    }),
  },
  {
    name: 'records of some kinds are found up to a position',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const kinds = ['machine-stopped', 'clocked-in', 'machine-back', 'machine-stopped'] as const;
      await ledger.append(
        writer(),
        kinds.map((kind) => hand.write(kind)),
        MONDAY_8,
      );
      const found = await ledger.recordsOfKinds(SITE, ['machine-stopped', 'machine-back'], 3);
      expect(found.map(({ pos }) => pos)).toEqual([1, 3]);
    }),
  },
  {
    name: 'pairs touched since an instant are told each once, by the records’ own times',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const before = hand.write('clocked-in', { pair: OTHER_PAIR });
      const records = [1, 2].map(() => hand.write('clocked-in', { pair: PAIR }));
      await ledger.append(writer(), [...records, before], MONDAY_8);
      expect(await ledger.pairsSince(SITE, before.at + 1)).toEqual([PAIR]);
      expect([...(await ledger.pairsSince(SITE, before.at))].sort()).toEqual([OTHER_PAIR, PAIR].sort());
      expect(await ledger.pairsSince(SITE, (records[1]?.at ?? 0) + 1)).toEqual([]);
    }),
  },
  {
    name: 'records of a pair are that pair’s alone, in the order of their positions',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const records = [
        hand.write('clocked-in'),
        hand.write('clocked-in', { pair: OTHER_PAIR }),
        hand.write('badged-on'),
        hand.write('set-aside'),
      ];
      await ledger.append(writer(), records, MONDAY_8);
      expect(parsed(await ledger.recordsOfPair(SITE, PAIR))).toEqual([
        [1, records[0]],
        [4, records[3]],
      ]);
      expect(await ledger.recordsOfPair(OTHER_SITE, PAIR)).toEqual([]);
    }),
  },
  {
    name: 'records between two instants come by their instant, whatever the order of arrival, over many pages',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const count = 2_300;
      // Every instant is shared by some, so that pages end in the middle of one.
      const records = Array.from({ length: count }, (_, index) =>
        hand.write('badged-on', { at: MONDAY_8 + ((index * 7) % 23) }),
      );
      for (let from = 0; from < count; from += 200) {
        await ledger.append(writer(), records.slice(from, from + 200), MONDAY_8);
      }
      const back = await all(ledger.recordsBetween(SITE, MONDAY_8 + 3, MONDAY_8 + 20));
      const ours = records.filter(({ at }) => at >= MONDAY_8 + 3 && at < MONDAY_8 + 20);
      expect(back.map(({ pos }) => pos)).toEqual(
        ours.toSorted((a, b) => a.at - b.at || a.seq - b.seq).map(({ seq }) => seq),
      );
    }),
  },
  {
    name: 'the pairs touched since a position are named once each, by the last record about them',
    run: withSite(async (ledger) => {
      const hand = handAt(WELTING);
      const records = [
        hand.write('clocked-in'),
        hand.write('clocked-in', { pair: OTHER_PAIR }),
        hand.write('taken-up', { pair: OTHER_PAIR }),
        hand.write('badged-on'),
      ];
      await ledger.append(writer(), records, MONDAY_8);
      expect(await ledger.pairsTouched(SITE, 1, 4)).toEqual([OTHER_PAIR]);
      expect(await ledger.pairsTouched(SITE, 1, 1)).toEqual([]);
      expect(await ledger.pairsTouched(SITE, 0, 4)).toEqual([PAIR, OTHER_PAIR]);
      await ledger.append(writer(), [hand.write('taken-up')], MONDAY_8);
      expect(await ledger.pairsTouched(SITE, 0, 5)).toEqual([OTHER_PAIR, PAIR]);
    }),
  },
  {
    name: 'numbers missing from a bench’s sequence are reported, and so is one used twice, and both records stay',
    run: withSite(async (ledger) => {
      const first = shiftOf(WELTING, 9);
      const again = handAt(WELTING).write('badged-on', { seq: 4, id: idOf(LAYING, 4) });
      const sent = first.filter(({ seq }) => ![1, 2, 7].includes(seq));
      await ledger.append(writer(), [...sent, again], MONDAY_8);
      await ledger.append(writer(LAYING), shiftOf(LAYING, 3), MONDAY_8);
      expect(await ledger.sequenceFaults(SITE)).toEqual([
        { bench: WELTING, is: 'missing', from: 1, to: 2 },
        { bench: WELTING, is: 'missing', from: 7, to: 7 },
        { bench: WELTING, is: 'doubled', seq: 4, records: [first[3]?.id, again.id] },
      ]);
      expect((await held(ledger)).length).toBe(10);
    }),
  },
  {
    name: 'names are in the order of their letters’ codes, in whatever language the store sorts',
    async run(ledger) {
      const names = ['aa', 'B', 'a-1', 'a_2', 'A', 'b', 'a10', 'a9'];
      for (const name of names) await ledger.createSite(newSiteOf({ site: asSiteId(name), name }));
      // As JavaScript sorts: by UTF-16 code units, which for these is by bytes.
      expect(await ledger.sites()).toEqual(names.toSorted());
      const site = asSiteId('B');
      for (const name of names) {
        const bench = asBenchId(name);
        const record = { ...handAt(bench).write('badged-on', { seq: 2 }), site };
        await ledger.append({ ...writer(bench), site }, [record], MONDAY_8);
      }
      const missing = (await ledger.sequenceFaults(site)).map(({ bench }) => bench);
      expect(missing).toEqual(names.toSorted());
    },
  },
  {
    name: 'appends that come at once are answered each for itself, and what one repeats of another is had',
    run: withSite(async (ledger) => {
      const [mine, yours] = [shiftOf(WELTING, 30), shiftOf(LAYING, 30)];
      const answers = await Promise.all([
        ledger.append(writer(), mine.slice(0, 20), MONDAY_8),
        ledger.append(writer(LAYING), yours, MONDAY_8),
        ledger.append(writer(), [...mine.slice(10), 'rubbish'], MONDAY_8),
        ledger
          .append({ ...writer(), site: OTHER_SITE }, [{ ...mine[0], site: OTHER_SITE }], MONDAY_8)
          .catch(() => 'no such site'),
        ledger.append(writer(), mine, MONDAY_8),
      ]);
      const counts = answers.map((each) =>
        typeof each === 'string'
          ? each
          : ['stored', 'had', 'refused'].map((what) => answersOf(each).filter((is) => is === what).length),
      );
      expect(counts).toEqual([[20, 0, 0], [30, 0, 0], [10, 10, 1], 'no such site', [0, 30, 0]]);
      expect((await held(ledger)).map(([pos]) => pos)).toEqual(
        Array.from({ length: 60 }, (_, index) => index + 1),
      );
    }),
  },
  {
    name: 'two sites in one database know nothing of each other',
    async run(ledger) {
      await ledger.createSite(newSiteOf());
      await ledger.createSite(newSiteOf({ site: OTHER_SITE, name: 'Netherby' }));
      await ledger.append(writer(), shiftOf(), MONDAY_8);
      const [record] = shiftOf();
      const there = { ...writer(), site: OTHER_SITE };
      const answers = await ledger.append(there, [{ ...record, site: OTHER_SITE }], MONDAY_8);
      expect(answersOf(answers)).toEqual(['stored']);
      expect(await ledger.sites()).toEqual([SITE, OTHER_SITE]);
      expect(await ledger.standing(OTHER_SITE, WELTING)).toMatchObject({ head: 1, heldSeq: 1 });
      expect(await ledger.standing(SITE, WELTING)).toMatchObject({ head: 5, heldSeq: 5 });
    },
  },
  {
    name: 'a site cannot be made twice',
    run: withSite(async (ledger) => {
      await expect(ledger.createSite(newSiteOf())).rejects.toThrow();
    }),
  },
  {
    name: 'a changed book gets the next version, an unchanged one keeps its own, and a bad one is not written',
    run: withSite(async (ledger) => {
      const changed = await ledger.changeBook(SITE, (book) => ({ ...book, ask: 'Ruth Adeyemi' }));
      expect(changed).toEqual({ ...siteBook({ benches: [] }), ask: 'Ruth Adeyemi', version: 2 });
      expect(await ledger.changeBook(SITE, (book) => book)).toEqual(changed);
      await expect(ledger.changeBook(SITE, (book) => ({ ...book, name: '' }))).rejects.toThrow();
      expect(await ledger.book(SITE)).toEqual(changed);
      expect(await ledger.standing(SITE, WELTING)).toMatchObject({ book: 2 });
    }),
  },
  {
    name: 'changes of the book made at once are all there',
    run: withSite(async (ledger) => {
      const add = (number: number) =>
        ledger.changeBook(SITE, (book) => ({
          ...book,
          badges: [...book.badges, { hash: codeHash(`badge ${number}`), operative: INES }],
        }));
      await Promise.all([1, 2, 3, 4, 5].map(add));
      const book = await ledger.book(SITE);
      expect(book?.badges.length).toBe(6);
      expect(book?.version).toBe(6);
    }),
  },
  {
    name: 'changes of the calendar made at once are all there, and one that changes nothing writes nothing',
    run: withSite(async (ledger) => {
      const shut = (day: string) => ({ from: day, to: day, name: day });
      const days = ['2026-12-24', '2026-12-25', '2026-12-26', '2026-12-28'];
      await Promise.all(
        days.map((day) =>
          ledger.changeCalendar(SITE, (calendar) => ({ ...calendar, shut: [...calendar.shut, shut(day)] })),
        ),
      );
      const { shut: all } = await ledger.calendar(SITE);
      expect(all.map(({ from }) => from).toSorted()).toEqual(days);
      await ledger.changeCalendar(SITE, (calendar) => calendar);
      expect((await ledger.calendar(SITE)).shut).toEqual(all);
    }),
  },
  {
    name: 'a calendar comes back as it was set, and what is none changes nothing',
    run: withSite(async (ledger) => {
      expect(await ledger.calendar(SITE)).toEqual(NO_CALENDAR);
      const breaks = [{ from: '01:30', to: '02:00' }];
      const night = { name: 'Night', days: [1, 2, 3, 4, 5], from: '22:00', to: '06:00', breaks };
      const calendar: Calendar = {
        versions: [
          { since: null, rules: [] },
          { since: '2026-11-02', rules: [night] },
        ],
        shut: [{ from: '2026-12-24', to: '2027-01-03', name: 'Winter holiday' }],
        overtime: [{ day: '2026-12-12', name: 'Saturday', from: '07:00', to: '12:00', breaks: [] }],
      };
      await ledger.setCalendar(SITE, calendar);
      expect(await ledger.calendar(SITE)).toEqual(calendar);
      const late = { ...night, to: '24:00' };
      const none = { ...calendar, versions: [{ since: null, rules: [late] }] };
      await expect(ledger.setCalendar(SITE, none)).rejects.toThrow();
      expect(await ledger.calendar(SITE)).toEqual(calendar);
      expect(await ledger.calendar(OTHER_SITE)).toEqual(NO_CALENDAR);
    }),
  },
  {
    name: 'a new epoch stands in the ledger, and positions go on',
    run: withSite(async (ledger) => {
      await ledger.append(writer(), shiftOf(), MONDAY_8);
      await ledger.startEpoch(SITE, '4e5f6a7b');
      expect(await ledger.standing(SITE, WELTING)).toMatchObject({ epoch: '4e5f6a7b', head: 5 });
    }),
  },
  {
    name: 'a set-up code enrols once, and the bench is in the book and known by its key',
    run: withSite(async (ledger) => {
      await addCode(ledger);
      const enrolled = await ledger.enrol(enrolling(1));
      if (enrolled.is !== 'enrolled') throw new Error(enrolled.is);
      const { entry, book } = enrolled;
      expect(entry).toMatchObject({ bench: 'b-1', name: 'Welting', stages: [WLT], revokedAt: null });
      expect(book.benches).toEqual([{ bench: 'b-1', name: 'Welting', stages: [WLT] }]);
      expect(await ledger.benchOfKey(codeHash('key 1'))).toEqual(entry);
      expect(await ledger.bench(SITE, entry.bench)).toEqual(entry);
      expect(await ledger.benchOfKey(codeHash('key 2'))).toBeNull();
      expect(await ledger.enrol(enrolling(2))).toEqual({ is: 'code-used' });
      expect(await ledger.benches(SITE)).toEqual([entry]);
    }),
  },
  {
    name: 'a code past its time and one that nobody gave enrol nobody',
    run: withSite(async (ledger) => {
      await addCode(ledger);
      expect(await ledger.enrol(enrolling(1, MONDAY_8 + MINUTE_MS))).toEqual({ is: 'code-expired' });
      expect(await ledger.enrol({ ...enrolling(1), codeHash: codeHash('no code') })).toEqual({
        is: 'code-unknown',
      });
      expect(await ledger.benches(SITE)).toEqual([]);
    }),
  },
  {
    name: 'a code for three enrols three of four who come at once, each with a name and a lane of its own',
    run: withSite(async (ledger) => {
      await addCode(ledger, 3);
      const outcomes = await Promise.all([1, 2, 3, 4].map((number) => ledger.enrol(enrolling(number))));
      expect(outcomes.filter(({ is }) => is === 'enrolled').length).toBe(3);
      const benches = await ledger.benches(SITE);
      expect(benches.map(({ name }) => name)).toEqual(['Welting', 'Welting 2', 'Welting 3']);
      expect(benches.map(({ lane }) => lane)).toEqual([1, 2, 3]);
    }),
  },
  {
    name: 'a revoked bench is known as revoked, since the first time',
    run: withSite(async (ledger) => {
      await addCode(ledger);
      await ledger.enrol(enrolling(1));
      expect(await ledger.revokeBench(SITE, asBenchId('b-1'), MONDAY_8 + 1)).toBe(true);
      expect(await ledger.revokeBench(SITE, asBenchId('b-1'), MONDAY_8 + 2)).toBe(true);
      expect((await ledger.benchOfKey(codeHash('key 1')))?.revokedAt).toBe(MONDAY_8 + 1);
      expect(await ledger.revokeBench(SITE, asBenchId('b-9'), MONDAY_8)).toBe(false);
    }),
  },
  {
    name: 'a photograph is held once under its hash, byte for byte, and each site has its own',
    run: withSite(async (ledger) => {
      expect(await ledger.photo(SITE, PHOTO.photo)).toBeNull();
      expect(await ledger.keepPhoto(writer(), PHOTO, MONDAY_8)).toBe('stored');
      expect(await ledger.keepPhoto(writer(LAYING), PHOTO, MONDAY_8 + 1)).toBe('had');
      const held = await ledger.photo(SITE, PHOTO.photo);
      expect(held?.type).toBe('image/webp');
      expect([...(held?.body ?? [])]).toEqual([...PHOTO.body]);
      await ledger.createSite(newSiteOf({ site: OTHER_SITE }));
      expect(await ledger.photo(OTHER_SITE, PHOTO.photo)).toBeNull();
      expect(await ledger.keepPhoto({ ...writer(), site: OTHER_SITE }, PHOTO, MONDAY_8)).toBe('stored');
      expect(await ledger.standing(SITE, WELTING)).toMatchObject({ head: 0 });
    }),
  },
];

export const LASTING_LEDGER_CASES: readonly LastingLedgerCase[] = [
  {
    name: 'everything is there after closing and opening again',
    async run(open) {
      const first = await open();
      await first.createSite(newSiteOf());
      await addCode(first);
      await first.enrol(enrolling(1));
      await first.append(writer(), shiftOf(), MONDAY_8);
      await first.keepPhoto(writer(), PHOTO, MONDAY_8);
      const answers = async (ledger: ServerLedger) => [
        await ledger.sites(),
        await ledger.read(SITE, 0, 100),
        await ledger.standing(SITE, WELTING),
        await ledger.book(SITE),
        await ledger.benches(SITE),
        await ledger.benchOfKey(codeHash('key 1')),
        await ledger.photo(SITE, PHOTO.photo),
      ];
      const before = await answers(first);
      await first.close();
      const second = await open();
      expect(await answers(second)).toEqual(before);
      expect(answersOf(await second.append(writer(), shiftOf(), MONDAY_8))).toEqual(
        shiftOf().map(() => 'had'),
      );
      await second.close();
    },
  },
  {
    name: 'two servers that open a new store at once both find it whole',
    async run(open) {
      const ledgers = await Promise.all([open(), open()]);
      await ledgers[0].createSite(newSiteOf());
      expect(await ledgers[1].sites()).toEqual([SITE]);
      await Promise.all(ledgers.map((ledger) => ledger.close()));
    },
  },
  {
    name: 'two connections that write at once give positions without a gap, and no reader misses one',
    async run(open) {
      const [one, two, reader] = await Promise.all([open(), open(), open()]);
      await one.createSite(newSiteOf());
      const write = async (ledger: ServerLedger, bench = WELTING) => {
        const records = shiftOf(bench, 150);
        for (let from = 0; from < records.length; from += 5) {
          await ledger.append(writer(bench), records.slice(from, from + 5), MONDAY_8);
          await new Promise((resolve) => setImmediate(resolve));
        }
      };
      let writing = true;
      const seen: number[] = [];
      const follow = async () => {
        for (let last = false; !last; ) {
          last = !writing;
          const held = await reader.read(SITE, seen.at(-1) ?? 0, 7);
          seen.push(...held.map(({ pos }) => pos));
          if (held.length > 0) last = false;
          await new Promise((resolve) => setImmediate(resolve));
        }
      };
      const following = follow();
      await Promise.all([write(one, WELTING), write(two, LAYING)]);
      writing = false;
      await following;
      expect(seen).toEqual(Array.from({ length: 300 }, (_, index) => index + 1));
      expect(await one.sequenceFaults(SITE)).toEqual([]);
      await Promise.all([one, two, reader].map((ledger) => ledger.close()));
    },
  },
];

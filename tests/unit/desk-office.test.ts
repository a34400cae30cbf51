import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { AtDesk, deskPeople, QUIET_MS, stillAt } from '../../src/desk/at-desk.ts';
import { Slots } from '../../src/desk/desk-store.ts';
import type { Act, Office } from '../../src/desk/office.ts';
import { OfficeLedger } from '../../src/desk/office-ledger.ts';
import { timers } from '../../src/desk/timers.ts';
import { cursorAt } from '../../src/domain/cursor.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { OperativeId } from '../../src/domain/ids.ts';
import { asRecordId } from '../../src/domain/ids.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import { type Enrolment, LedgerFailure } from '../../src/tablet/ledger/ledger.ts';
import {
  DESK,
  EPOCH,
  handAt,
  INES,
  LAYING,
  MONDAY_8,
  PAIR,
  RUTH,
  SITE,
  siteBook,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { MemoryLedger, MemoryStore } from '../support/memory-ledger.ts';

const ENROLMENT: Enrolment = {
  site: SITE,
  dataset: 'aldermoor-1',
  bench: DESK,
  place: 'desk',
  name: 'Office',
  key: '0f'.repeat(32),
  lane: 7,
};

const logged: Act = { kind: 'ticket-reprinted', said: { pair: PAIR, why: 'torn' } };

beforeEach(() => {
  vi.useFakeTimers({ now: MONDAY_8 });
});
afterEach(() => {
  vi.useRealTimers();
});

async function opened(ledger: MemoryLedger, at: OperativeId | null = RUTH, book = siteBook()) {
  await ledger.remember({ enrolment: ENROLMENT, book, readIn: true });
  let ids = 0;
  const seen: Office[] = [];
  const troubles: LedgerFailure[] = [];
  let woken = 0;
  const office = new OfficeLedger(
    {
      ledger,
      wall: () => ({ ms: Date.now(), offsetMs: 250, known: true }),
      newId: () => {
        ids += 1;
        return asRecordId(`019a4b2c-0000-7000-8000-${String(ids).padStart(12, '0')}`);
      },
      timers,
      wakeSync: () => {
        woken += 1;
      },
      onOffice: (next) => seen.push(next),
      onTrouble: (trouble) => troubles.push(trouble),
    },
    ENROLMENT,
    { book, at, upTo: null },
  );
  await office.start();
  await vi.advanceTimersByTimeAsync(1_000);
  return { office, seen, troubles, woken: () => woken };
}

/** Another bench's record, as the server hands it out. */
async function arrives(ledger: MemoryLedger, pos: number, record: unknown) {
  await ledger.apply([{ pos, record }], cursorAt({ epoch: EPOCH, pos }));
  await vi.advanceTimersByTimeAsync(1_000);
}

describe('the office', () => {
  test('has every pair folded at the start, and says that all were read', async () => {
    const ledger = new MemoryLedger();
    const hand = handAt(LAYING);
    const [first, second] = [hand.write('pair-logged'), hand.write('clocked-in')];
    await ledger.apply(
      [first, second].map((record, index) => ({ pos: index + 1, record })),
      cursorAt({ epoch: EPOCH, pos: 2 }),
    );
    const { office } = await opened(ledger);
    expect(office.office.readIn).toBe(true);
    expect([...office.office.pairs.keys()]).toEqual([PAIR]);
    expect(office.office.pairs.get(PAIR)).toEqual(foldPair(PAIR, await ledger.recordsOfPair(PAIR)));
  });

  test('follows what comes in, with a map of its own for each showing', async () => {
    const ledger = new MemoryLedger();
    const { office } = await opened(ledger);
    const before = office.office.pairs;
    await arrives(ledger, 1, handAt(LAYING).write('pair-logged'));
    expect(before.size).toBe(0);
    expect(office.office.pairs.get(PAIR)?.logged?.ownerRef).toBe('A-1042');
  });

  test('a newer book comes in with it, and whoever is no longer in it is not at the desk', async () => {
    const ledger = new MemoryLedger();
    const { office } = await opened(ledger);
    expect(office.office.at).toBe(RUTH);
    await ledger.remember({ book: siteBook({ version: 2, operatives: [] }) });
    await vi.advanceTimersByTimeAsync(1_000);
    expect([office.office.book.version, office.office.at]).toEqual([2, null]);
  });

  test('follows the machines that may not be run, whether a bench says so or this desk', async () => {
    const ledger = new MemoryLedger();
    const machine = { code: WLT, name: 'Welt sewing', plain: 'having the welts sewn', machine: true };
    const book = siteBook({ stages: [{ ...machine, reminds: false, settles: null }] });
    const { office } = await opened(ledger, RUTH, book);
    expect(office.office.outOfUse).toEqual([]);
    await arrives(ledger, 1, handAt(WELTING).write('machine-stopped'));
    await vi.advanceTimersByTimeAsync(2_000);
    expect(office.office.outOfUse).toMatchObject([{ bench: WELTING, stage: WLT, why: 'guard loose' }]);
    const said = { where: WELTING, stage: WLT, why: 'guard tightened' };
    await office.office.record([{ kind: 'machine-back', said }]);
    expect(office.office.outOfUse).toEqual([]);
  });

  test('nothing is recorded while nobody is at the desk', async () => {
    const ledger = new MemoryLedger();
    const { office } = await opened(ledger, null);
    await expect(office.office.record([logged])).rejects.toThrow(RangeError);
    expect((await ledger.outbox()).waiting).toBe(0);
  });

  test('records are by whoever is at the desk, at the corrected instant, and folded when they are made', async () => {
    const ledger = new MemoryLedger();
    const { office, woken } = await opened(ledger);
    const [record] = await office.office.record([logged]);
    expect(record).toMatchObject({ by: RUTH, bench: DESK, site: SITE, seq: 1, at: Date.now() + 250 });
    expect(readRecord(record).is).toBe('record');
    expect(office.office.pairs.get(PAIR)?.reprints).toBe(1);
    await vi.advanceTimersByTimeAsync(1_000);
    expect([office.office.waiting, woken()]).toEqual([1, 1]);
  });

  test('the same acts tried again are the same records, also when the first try was made and not heard of', async () => {
    const ledger = new MemoryLedger();
    const { office } = await opened(ledger);
    const acts = [logged];
    const commit = ledger.commit.bind(ledger);
    vi.spyOn(ledger, 'commit').mockImplementationOnce(async (drafts) => {
      await commit(drafts);
      throw new LedgerFailure('stuck');
    });
    await expect(office.office.record(acts)).rejects.toThrow(LedgerFailure);
    await office.office.record(acts);
    expect((await ledger.recordsOfPair(PAIR)).length).toBe(1);
    await office.office.record([...acts]);
    expect((await ledger.recordsOfPair(PAIR)).length).toBe(2);
  });

  test('a ledger that cannot be read is told of and read again', async () => {
    const ledger = new MemoryLedger();
    vi.spyOn(ledger, 'everyPair').mockImplementationOnce(async function* () {
      yield [];
      throw new LedgerFailure('lost-connection');
    });
    const { office, troubles } = await opened(ledger);
    expect([troubles.length, office.office.readIn]).toEqual([1, false]);
    await vi.advanceTimersByTimeAsync(10_000);
    expect(office.office.readIn).toBe(true);
  });

  test('two windows of one desk never give one ticket twice', async () => {
    const store = new MemoryStore();
    const [here, there] = [await opened(new MemoryLedger(store)), await opened(new MemoryLedger(store))];
    const tickets = await Promise.all(
      [here, there, here, there].map(({ office }) => office.office.newTicket()),
    );
    expect(new Set(tickets).size).toBe(4);
  });
});

describe('who is at the desk', () => {
  const memory = () => {
    const held = new Map<string, string>();
    return new Slots(() => ({
      getItem: (slot) => held.get(slot) ?? null,
      setItem: (slot, text) => void held.set(slot, text),
      removeItem: (slot) => void held.delete(slot),
    }));
  };

  test('stays over a reload and while something is touched, and is gone after an hour of quiet', async () => {
    const slots = memory();
    const heard: (OperativeId | null)[] = [];
    new AtDesk(slots, timers, (who) => heard.push(who)).take(RUTH);
    const again = new AtDesk(slots, timers, (who) => heard.push(who));
    expect(again.operative).toBe(RUTH);
    await vi.advanceTimersByTimeAsync(QUIET_MS - 60_000);
    again.stir();
    await vi.advanceTimersByTimeAsync(QUIET_MS - 60_000);
    expect(again.operative).toBe(RUTH);
    await vi.advanceTimersByTimeAsync(2 * 60_000);
    expect(again.operative).toBeNull();
    expect(heard.at(-1)).toBeNull();
    expect(new AtDesk(slots, timers, () => undefined).operative).toBeNull();
  });

  test('a machine that slept the hour away has nobody at it, whatever is touched first', () => {
    const slots = memory();
    const at = new AtDesk(slots, timers, () => undefined);
    at.take(RUTH);
    vi.setSystemTime(MONDAY_8 + QUIET_MS);
    at.stir();
    expect(at.operative).toBeNull();
  });

  test('is of the office or a supervisor, by the site’s book', () => {
    const book = siteBook();
    expect(deskPeople(book).map(({ id }) => id)).toEqual([RUTH]);
    expect([INES, TOMASZ, RUTH].map((who) => stillAt(book, who))).toEqual([null, null, RUTH]);
  });
});

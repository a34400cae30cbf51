/** When a tablet forgets what left the works long ago: once a day, by its clock, and never what may still matter. */
import { describe, expect, test } from 'vitest';
import { cursorAt } from '../../src/domain/cursor.ts';
import { asBenchId, asPairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { LedgerFailure, type TabletLedger } from '../../src/tablet/ledger/ledger.ts';
import { forgetDaily, forgetOld, KEPT_DAYS } from '../../src/tablet/sync/forget-old.ts';
import { EPOCH, handAt, INES, LAYING, MONDAY_8, PAIR, WELTING } from '../support/builders.ts';
import { MemoryLedger } from '../support/memory-ledger.ts';

const LEFT_AT = MONDAY_8 - KEPT_DAYS * DAY_MS;

/** A pair that was worked, and was out of the works at `leftAt`. */
function gone(leftAt: Instant, { bench = LAYING, pair = PAIR, closes = true } = {}): readonly LedgerRecord[] {
  const hand = handAt(bench, INES, leftAt - MINUTE_MS);
  const begun = hand.write('clocked-in', { pair });
  return [begun, hand.write('clocked-out', { pair, of: begun.id, closes })];
}

async function ledgerWith(records: readonly LedgerRecord[], ledger: TabletLedger = new MemoryLedger()) {
  const rows = records.map((record, index) => ({ pos: index + 1, record }));
  await ledger.apply(rows, cursorAt({ epoch: EPOCH, pos: rows.length }));
  await ledger.remember({ epoch: EPOCH, readIn: true });
  return ledger;
}

const never = new AbortController().signal;
const at = (ledger: TabletLedger, now = MONDAY_8) => ({
  ledger,
  now: () => now,
  sleep: async () => undefined,
});

describe('a pair is forgotten', () => {
  test('that left longer ago than pairs are kept, and not a millisecond sooner', async () => {
    expect(await forgetOld(at(await ledgerWith(gone(LEFT_AT))), never)).toBe(0);
    expect(await forgetOld(at(await ledgerWith(gone(LEFT_AT - 1))), never)).toBe(1);
  });

  test('never while it has not left, however old it is', async () => {
    const old = gone(LEFT_AT - DAY_MS, { closes: false });
    expect(await forgetOld(at(await ledgerWith(old)), never)).toBe(0);
  });

  test('never while somebody has it open, though it was said to have left', async () => {
    const open = handAt(WELTING, INES, LEFT_AT - DAY_MS).write('clocked-in');
    expect(await forgetOld(at(await ledgerWith([open, ...gone(LEFT_AT - HOUR_MS)])), never)).toBe(0);
  });

  test('only once the tablet has read in, and knows whose positions it holds', async () => {
    const ledger = await ledgerWith(gone(LEFT_AT - 1));
    await ledger.remember({ readIn: false });
    expect(await forgetOld(at(ledger), never)).toBe(0);
    expect((await ledger.settings()).forgotAt).toBeNull();
  });

  test('together with all others that left as long ago', async () => {
    const others = ['P0000001', 'P0000002'].flatMap((pair) =>
      gone(LEFT_AT - DAY_MS, { pair: asPairId(pair), bench: asBenchId(`bench-${pair}`) }),
    );
    expect(await forgetOld(at(await ledgerWith([...gone(LEFT_AT - 1), ...others])), never)).toBe(3);
  });
});

/** A ledger that tells when its pairs are gone through, and may be in trouble. */
class WatchedLedger extends MemoryLedger {
  readonly passes: Instant[] = [];
  now = MONDAY_8;
  trouble: Error | null = null;

  override everyPair() {
    this.passes.push(this.now);
    if (this.trouble !== null) throw this.trouble;
    return super.everyPair();
  }
}

/** Lets the daily forgetting run through so many of its waits; `onWait` may turn the clock. */
async function through(
  ledger: WatchedLedger,
  waits: number,
  onWait: (nth: number) => void = () => undefined,
) {
  const stop = new AbortController();
  const waited: number[] = [];
  const sleep = async (ms: number) => {
    ledger.now += ms;
    // The breath between two slices is not a wait of the day.
    if (ms < MINUTE_MS) return;
    waited.push(ms);
    onWait(waited.length);
    if (waited.length === waits) stop.abort();
  };
  await forgetDaily({ ledger, now: () => ledger.now, sleep }, stop.signal);
  return waited;
}

describe('the daily forgetting', () => {
  const watched = async () => {
    const ledger = new WatchedLedger();
    await ledgerWith(gone(LEFT_AT - 1), ledger);
    return ledger;
  };

  test('begins ten minutes after the start, looks every hour, and passes through once a day', async () => {
    const ledger = await watched();
    const waited = await through(ledger, 40);
    expect(waited).toEqual([10 * MINUTE_MS, ...Array.from({ length: 39 }, () => HOUR_MS)]);
    const [first = 0, second = 0, ...more] = ledger.passes;
    expect([first - MONDAY_8, more]).toEqual([10 * MINUTE_MS, []]);
    expect(second - first).toBeGreaterThanOrEqual(DAY_MS);
    expect(second - first).toBeLessThan(DAY_MS + HOUR_MS);
  });

  test('is due again exactly a day after the last', async () => {
    const ledger = await watched();
    await ledger.remember({ forgotAt: MONDAY_8 + 10 * MINUTE_MS - DAY_MS });
    await through(ledger, 2);
    expect(ledger.passes).toHaveLength(1);
  });

  test('is not kept off for years by a clock that was put back', async () => {
    const ledger = await watched();
    await ledger.remember({ forgotAt: MONDAY_8 + 400 * DAY_MS });
    await through(ledger, 2);
    expect(ledger.passes).toHaveLength(1);
  });

  test('waits and looks again where the store is in trouble', async () => {
    const ledger = await watched();
    ledger.trouble = new LedgerFailure('stuck');
    await through(ledger, 3, (nth) => {
      if (nth === 2) ledger.trouble = null;
    });
    expect(ledger.passes).toHaveLength(2);
    expect(await ledger.recordsOfPair(PAIR)).toEqual([]);
  });

  test('hides no mistake of the program', async () => {
    const ledger = await watched();
    ledger.trouble = new RangeError('no such pair');
    await expect(through(ledger, 3)).rejects.toThrow('no such pair');
  });

  test('does nothing where the app ends before it begins', async () => {
    const ledger = await watched();
    expect(await through(ledger, 1)).toHaveLength(1);
    expect(ledger.passes).toEqual([]);
  });

  test('that is stopped on the way is not taken for done', async () => {
    const ledger = await watched();
    const stop = new AbortController();
    stop.abort();
    expect(await forgetOld(at(ledger), stop.signal)).toBe(0);
    expect((await ledger.settings()).forgotAt).toBeNull();
    expect(await ledger.recordsOfPair(PAIR)).toHaveLength(2);
  });
});

/**
 * The forecast held against what came: on the demo's month of records, and on a queue whose truth is known. It must be
 * nearer to it than a rule of thumb, and its interval must hold about as much as it says.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { makeWorkshop } from '../../demo-data/records.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { type BackTest, backTest } from '../../src/domain/forecast/backtest.ts';
import { historyOf } from '../../src/domain/forecast/history.ts';
import { type Chronicle, knownAt } from '../../src/domain/forecast/known-then.ts';
import type { PairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { pairOf } from '../../src/domain/record/kinds.ts';
import { MONDAY_8 } from '../support/builders.ts';
import { tandem, weekdays } from './forecast-line.ts';
import { queueFacts, queueKnownAt } from './forecast-queue.ts';

/** The share that an interval of 80 % may hold of a few hundred pairs that stand in the same queues. */
const COVERED = { least: 0.65, most: 0.95 };

function expectHonest(found: BackTest): void {
  expect(found.pairs).toBeGreaterThan(100);
  expect(found.meanAbsoluteDays).toBeLessThanOrEqual(found.naive.meanAbsoluteDays ?? 0);
  expect(found.meanAbsoluteDays).toBeLessThanOrEqual(found.naiveByJob.meanAbsoluteDays ?? 0);
  expect(Math.abs(found.biasDays ?? Number.NaN)).toBeLessThan(0.75);
  expect(found.covered).toBeGreaterThan(COVERED.least);
  expect(found.covered).toBeLessThan(COVERED.most);
}

describe('on the demo’s month of records', () => {
  /** A Wednesday in the early shift. */
  const endsAt = Date.parse('2026-11-25T10:17:00Z');
  const workshop = makeWorkshop({ seed: 7, endsAt });
  const { book, calendar } = workshop;
  const site = {
    book,
    shifts: shiftsBetween(calendar, book.timeZone, endsAt - 90 * DAY_MS, endsAt + 90 * DAY_MS),
  };
  let chronicles: ReadonlyMap<PairId, Chronicle>;
  /** Of pairs that had left before this the demo holds nothing. */
  let wholeFrom: number;

  beforeAll(() => {
    const placed = new Map<PairId, Placed[]>();
    for (const [index, record] of workshop.records.entries()) {
      const pair = pairOf(record);
      if (pair === null) continue;
      const own = placed.get(pair) ?? [];
      placed.set(pair, own);
      own.push({ record, pos: index + 1, epoch: workshop.epoch });
    }
    chronicles = new Map(
      [...placed].flatMap(([pair, own]) => {
        const facts = factsOf(pair, own, book);
        return facts === null ? [] : [[pair, { facts, placed: own }] as const];
      }),
    );
    wholeFrom = Math.min(...[...chronicles.values()].flatMap(({ facts }) => facts.closed?.at ?? []));
  }, 180_000);

  test('the forecast is nearer than the rules of thumb, and its interval holds what it says', () => {
    const found = backTest({
      site,
      facts: [...chronicles.values()].map(({ facts }) => facts),
      instants: [26, 22, 19, 16].map((days) => endsAt - days * DAY_MS),
      knownAt: (at) => knownAt(chronicles, book, at),
      until: endsAt,
      asked: { seed: 1, runs: 200 },
      howFar: { wholeFrom },
    });
    expectHonest(found);
    expect(found.notYet).toBeLessThan(0.1 * found.pairs);
  }, 180_000);

  test('the habits that the workshop was made with are found in its records', () => {
    const { facts } = knownAt(chronicles, book, endsAt);
    const history = historyOf(facts, site, endsAt, { wholeFrom });
    // Nearly late two days before the promised day ends, and then taken as if a day before its time.
    expect(history.turns).toMatchObject({ nearMs: 2 * DAY_MS, rushMs: DAY_MS });
    expect(history.crew.hands).toHaveLength(20);
    expect([...history.crew.room.values()].filter((room) => room > 1)).toEqual([]);
    for (const { comes } of history.crew.hands)
      for (const share of comes.values()) expect(share).toBeGreaterThan(0.7);
    expect(history.holds.owner.assumed).toBe(false);
  }, 60_000);

  test('nothing of what was known at an instant is later than it', () => {
    const at = endsAt - 20 * DAY_MS;
    const { facts, ahead } = knownAt(chronicles, book, at);
    expect(facts.length).toBeGreaterThan(200);
    expect(ahead.length).toBeGreaterThan(100);
    // The only instants among them are from 2001 to 2286; promised days are texts.
    const instants = JSON.stringify([facts, ahead]).match(/(?<=[:,[])\d{13}(?=[,}\]])/g) ?? [];
    expect(instants.length).toBeGreaterThan(1000);
    expect(instants.filter((told) => Number(told) > at)).toEqual([]);
  }, 60_000);
});

describe('on a queue whose truth is known', () => {
  const QUEUES = [
    ['one hand, three quarters busy', { hands: 1, mean: 36, out: 4, every: 48 }],
    ['three hands, nearly always busy', { hands: 3, mean: 120, out: 6, every: 43 }],
  ] as const;

  test.each(QUEUES)(
    '%s',
    (_, queue) => {
      const shifts = weekdays(140);
      const site = tandem([...shifts, ...weekdays(200).slice(shifts.length)]);
      const facts = queueFacts({ ...queue, shifts, seed: 11 });
      const until = shifts.at(-1)?.to ?? 0;
      const instants = Array.from({ length: 80 }, (__, day) => MONDAY_8 + (42 + day) * DAY_MS + 3 * HOUR_MS);
      const found = backTest({
        site,
        facts,
        instants: instants.filter((at) => shifts.some(({ from, to }) => from < at && at < to)),
        knownAt: (at) => queueKnownAt(facts, at),
        until,
        asked: { seed: 1, runs: 200 },
      });
      expectHonest(found);
    },
    180_000,
  );
});

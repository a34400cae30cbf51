import { describe, expect, test } from 'vitest';
import { atRisk } from '../../src/domain/forecast/at-risk.ts';
import { type Asked, forecast } from '../../src/domain/forecast/forecast.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { MONDAY_8 } from '../support/builders.ts';
import { ONE, OUT, pairAhead, steadyHistory, TWO, tandem, weekdays } from './forecast-line.ts';

const site = tandem(weekdays(60));
const HOUR_EACH = { ONE: [60], TWO: [60], OUT: [60] };
const asked: Asked = { seed: 1, runs: 50 };
const hoursOn = (at: number | undefined) => ((at ?? Number.NaN) - MONDAY_8) / HOUR_MS;

function readyHours(
  pairs: Parameters<typeof forecast>[2],
  history = steadyHistory(site, HOUR_EACH),
  at = site,
): readonly number[] {
  return forecast(at, history, pairs, asked).map(({ ready }) => hoursOn(ready?.at));
}

describe('a line whose times are all known', () => {
  test('a pair goes through its stages one after the other', () => {
    expect(readyHours([pairAhead('A', [ONE, TWO, OUT])])).toEqual([3]);
  });

  test('a stage has one hand, and the pair that was due first goes first', () => {
    const pairs = [
      pairAhead('B', [OUT], { since: MONDAY_8 - HOUR_MS }),
      pairAhead('A', [OUT], { since: MONDAY_8 - 2 * HOUR_MS }),
      pairAhead('C', [ONE, TWO, OUT]),
    ];
    expect(readyHours(pairs)).toEqual([2, 1, 3]);
  });

  test('where the promise makes the order it does, whatever was due first', () => {
    const pairs = [
      pairAhead('A', [OUT], { since: MONDAY_8 - 2 * HOUR_MS, promised: '2026-11-20' }),
      pairAhead('B', [OUT], { promised: '2026-11-10' }),
    ];
    const made = forecast(site, steadyHistory(site, HOUR_EACH), pairs, { ...asked, order: 'promise' });
    expect(made.map(({ ready }) => hoursOn(ready?.at))).toEqual([2, 1]);
  });

  test('a pair that is nearly late goes first where the site has that habit', () => {
    const habit = { nearMs: 2 * DAY_MS, rushMs: DAY_MS, outOfTurnMs: [0] };
    const pairs = [
      pairAhead('A', [OUT], { since: MONDAY_8 - 2 * HOUR_MS, promised: '2026-11-20' }),
      pairAhead('B', [OUT], { promised: '2026-11-03' }),
    ];
    expect(readyHours(pairs, steadyHistory(site, HOUR_EACH, { turns: habit }))).toEqual([2, 1]);
  });

  test('what the shift leaves undone goes on in the next', () => {
    const long = steadyHistory(site, { OUT: [10 * 60] });
    expect(readyHours([pairAhead('A', [OUT])], long)).toEqual([24 + 2]);
  });

  test('nobody works at the weekend or on days that are shut', () => {
    const eight = Array.from({ length: 6 }, (_, day) =>
      pairAhead(`P${day}`, [OUT], { since: MONDAY_8 - (9 - day) * HOUR_MS }),
    );
    const day = steadyHistory(site, { OUT: [8 * 60] });
    expect(readyHours(eight, day)).toEqual([8, 32, 56, 80, 104, 7 * 24 + 8]);
    const shut = tandem(weekdays(60, [1, 2]));
    expect(readyHours(eight, steadyHistory(shut, { OUT: [8 * 60] }), shut)).toEqual([
      8, 80, 104, 176, 200, 224,
    ]);
  });

  test('a night that the leather needs is elapsed time and no hand’s', () => {
    const dries = tandem(weekdays(60));
    const stages = dries.book.stages.map((stage) =>
      stage.code === ONE ? { ...stage, settles: { least: 720, most: 720 } } : stage,
    );
    const drying = { ...dries, book: { ...dries.book, stages } };
    // Done at nine, dry at nine in the evening, taken up the next morning.
    expect(readyHours([pairAhead('A', [ONE, OUT])], steadyHistory(drying, HOUR_EACH), drying)).toEqual([25]);
    const since = MONDAY_8 - 10 * HOUR_MS;
    const half = pairAhead('B', [OUT], { step: { settles: ONE, since } });
    expect(readyHours([half], steadyHistory(drying, HOUR_EACH), drying)).toEqual([3]);
  });

  test('a pair waits for its last until the pair that is on it has come off', () => {
    const lasts = tandem(weekdays(60));
    const ways = { ...lasts.book.ways, lastFrom: ONE, lastTo: TWO };
    const withLasts = { ...lasts, book: { ...lasts.book, ways } };
    const pairs = [
      pairAhead('A', [TWO, OUT], {
        last: '82 8 F',
        holdsLast: true,
        hold: { why: 'set-aside', since: MONDAY_8 },
      }),
      pairAhead('B', [ONE, TWO, OUT], { last: '82 8 F' }),
      pairAhead('C', [ONE, TWO, OUT], { last: '82 9 F' }),
    ];
    const aside = { ms: Array.from({ length: 5 }, () => DAY_MS), assumed: false };
    const history = steadyHistory(withLasts, HOUR_EACH);
    const held = { ...history, holds: { ...history.holds, aside } };
    expect(readyHours(pairs, held, withLasts)).toEqual([26, 28, 3]);
    const hangs = forecast(withLasts, held, pairs, asked).map(({ hangsOn }) => hangsOn);
    expect(hangs).toEqual([{ on: 'set-aside' }, { on: 'last' }, { on: 'work' }]);
  });

  test('a pair that is sent back goes through what is done again, and twice at most', () => {
    const returns = new Map([[OUT, { share: 1, again: [[ONE]] }]]);
    const [hours] = readyHours([pairAhead('A', [OUT])], steadyHistory(site, HOUR_EACH, { returns }));
    expect(hours).toBe(5);
  });

  test('work that is begun is only done to its end', () => {
    const since = MONDAY_8 - 40 * MINUTE_MS;
    const shifts = [{ ...(site.shifts[0] ?? never()), from: since - HOUR_MS }, ...site.shifts.slice(1)];
    const early = { ...site, shifts };
    const open = { from: since, hand: 'hand of OUT', bench: 'bench-OUT' as never };
    const pair = pairAhead('A', [OUT], { step: { begun: ['x' as never], open } });
    const [hours] = readyHours([pair], steadyHistory(early, HOUR_EACH), early);
    expect(hours).toBeCloseTo(20 / 60, 1);
  });
});

describe('what the forecast says of a pair', () => {
  test('a pair whose owner wants no more done has no date and no chance', () => {
    const [one] = forecast(
      site,
      steadyHistory(site, HOUR_EACH),
      [pairAhead('A', [OUT], { stopped: true, promised: '2026-12-10' })],
      asked,
    );
    expect(one).toMatchObject({ ready: null, late: null, keeps: 0, hangsOn: { on: 'owner' } });
  });

  test('beyond the calendar there is no date', () => {
    const short = tandem(weekdays(5));
    const history = steadyHistory(short, { OUT: [41 * 60] });
    const [one] = forecast(short, history, [pairAhead('A', [OUT])], asked);
    expect([one?.early, one?.ready, one?.late]).toEqual([null, null, null]);
  });

  test('a pair held longer than any before it may be held as long again, and the owner’s answers are marked as assumed', () => {
    const owner = { ms: [HOUR_MS], assumed: true };
    const history = steadyHistory(site, HOUR_EACH);
    const asks = tandem(weekdays(60));
    const withYes = { ...asks, book: { ...asks.book, ways: { ...asks.book.ways, owner: ONE } } };
    const waiting = pairAhead('A', [ONE, OUT], { since: MONDAY_8 - 2 * DAY_MS });
    const held = { ...history, holds: { ...history.holds, owner } };
    const [one] = forecast(withYes, held, [waiting], { ...asked, runs: 500 });
    expect(one?.hangsOn).toEqual({ on: 'owner' });
    expect(one?.basis.assumed).toEqual(['owner']);
    expect((one?.late?.at ?? 0) - (one?.early?.at ?? 0)).toBeGreaterThan(2 * DAY_MS);
  });

  test('a stage of which nothing is known has somebody and an assumed time, and says so', () => {
    const history = steadyHistory(site, { ONE: [60] });
    const [one] = forecast(site, { ...history, visits: [] }, [pairAhead('A', [TWO, OUT])], asked);
    expect(one?.basis.pooled).toEqual([
      { stage: TWO, over: 'assumed' },
      { stage: OUT, over: 'assumed' },
    ]);
    expect(one?.ready).not.toBeNull();
  });

  test('the interval is of the runs: a stage of one or nine hours is ready on the first day or the second', () => {
    const history = steadyHistory(site, { OUT: [60, 9 * 60] });
    const [one] = forecast(site, history, [pairAhead('A', [OUT], { promised: '2026-11-02' })], {
      seed: 3,
      runs: 1000,
    });
    expect([one?.early?.day, one?.late?.day]).toEqual(['2026-11-02', '2026-11-03']);
    expect(Math.abs((one?.keeps ?? 0) - 0.5)).toBeLessThan(0.05);
  });
});

test('the promises at risk come with the least likely first', () => {
  const history = steadyHistory(site, { OUT: [8 * 60] });
  const pairs = ['2026-11-30', '2026-11-02', '2026-11-03', null].map((promised, place) =>
    pairAhead(`P${place}`, [OUT], { promised, since: MONDAY_8 - (9 - place) * HOUR_MS }),
  );
  const made = forecast(site, history, pairs, asked);
  expect(made.map(({ keeps }) => keeps)).toEqual([1, 0, 0, null]);
  expect(atRisk(made).map(({ pair }) => pair)).toEqual(['P1', 'P2']);
  expect(atRisk(made, { until: '2026-11-02' }).map(({ pair }) => pair)).toEqual(['P1']);
});

function never(): never {
  throw new Error('there is a first shift');
}

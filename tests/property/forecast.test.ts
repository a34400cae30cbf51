import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Forecast, forecast } from '../../src/domain/forecast/forecast.ts';
import { Queues } from '../../src/domain/forecast/queues.ts';
import { instantOf, tickClock, tickOf } from '../../src/domain/forecast/timeline.ts';
import { Wheel } from '../../src/domain/forecast/wheel.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { MONDAY_8 } from '../support/builders.ts';
import '../support/property-seed.ts';
import { ONE, OUT, pairAhead, steadyHistory, TWO, tandem, weekdays } from '../unit/forecast-line.ts';

const WAYS = [[OUT], [TWO, OUT], [ONE, TWO, OUT]] as const;
const minutes = fc.array(fc.integer({ min: 4, max: 400 }), { minLength: 1, maxLength: 6 });
const times = fc.record({ ONE: minutes, TWO: minutes, OUT: minutes });
const standing = fc.array(fc.record({ way: fc.nat(2), hours: fc.integer({ min: 1, max: 100 }) }), {
  minLength: 1,
  maxLength: 12,
});
const line = fc.record({ times, standing, seed: fc.nat() });
type Drawn = { readonly way: number; readonly hours: number };

function pairOf({ way, hours }: Drawn, place: number) {
  // No two are due at once, or the order between them would be nobody's.
  const since = MONDAY_8 - hours * HOUR_MS - place * 2 * MINUTE_MS;
  return pairAhead(`P${place}`, WAYS[way] ?? [OUT], { since });
}

function made(
  site: ReturnType<typeof tandem>,
  drawn: { times: Record<string, number[]>; standing: Drawn[]; seed: number },
) {
  const history = steadyHistory(site, drawn.times);
  return forecast(site, history, drawn.standing.map(pairOf), { seed: drawn.seed, runs: 40 });
}

/** Early, median and late, where none is later than all. */
const dates = (one: Forecast | undefined) =>
  [one?.early, one?.ready, one?.late].map((day) => day?.at ?? Number.POSITIVE_INFINITY);

/**
 * With one hand at each stage and all pairs going the same way, whoever is ahead stays ahead: then every date can only
 * rise with every time (a line of such queues is linear over max and plus). Where hands do several stages it need not be.
 */
describe('a line with one hand at each stage', () => {
  test('the same seed gives the same answer', () => {
    const site = tandem(weekdays(80));
    fc.assert(
      fc.property(line, (drawn) => {
        expect(made(site, drawn)).toEqual(made(site, drawn));
      }),
      { numRuns: 20 },
    );
  });

  test('a pair more in front of them makes none ready sooner', () => {
    const site = tandem(weekdays(80));
    fc.assert(
      fc.property(line, fc.nat(2), (drawn, way) => {
        const before = made(site, drawn);
        // Due before all others, and last in the list: so the luck of the others is the same.
        const more = { ...drawn, standing: [...drawn.standing, { way, hours: 200 }] };
        const after = made(site, more);
        for (const [place, one] of before.entries())
          for (const [index, date] of dates(after[place]).entries())
            expect(date).toBeGreaterThanOrEqual(dates(one)[index] ?? 0);
      }),
      { numRuns: 60 },
    );
  });

  test('a week that is shut makes none ready sooner', () => {
    fc.assert(
      fc.property(line, fc.integer({ min: 0, max: 4 }), (drawn, week) => {
        const open = made(tandem(weekdays(80)), drawn);
        const shut = [0, 1, 2, 3, 4].map((day) => week * 7 + day);
        const closed = made(tandem(weekdays(80, shut)), drawn);
        for (const [place, one] of open.entries())
          for (const [index, date] of dates(closed[place]).entries())
            expect(date).toBeGreaterThanOrEqual(dates(one)[index] ?? 0);
      }),
      { numRuns: 60 },
    );
  });

  test('early is not after the median, nor the median after late, and no pair is ready before now', () => {
    const site = tandem(weekdays(80));
    fc.assert(
      fc.property(line, (drawn) => {
        for (const one of made(site, drawn)) {
          const [early = 0, ready = 0, late = 0] = dates(one);
          expect(MONDAY_8).toBeLessThan(early);
          expect(early).toBeLessThanOrEqual(ready);
          expect(ready).toBeLessThanOrEqual(late);
        }
      }),
      { numRuns: 30 },
    );
  });
});

describe('what a run is made of', () => {
  test('the wheel gives back everything at its tick, and the ticks in their order', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 199 }), { maxLength: 60 }), (ticks) => {
        const wheel = new Wheel(200, 60);
        for (const [thing, tick] of ticks.entries()) wheel.add(thing, tick);
        const met: [number, number][] = [];
        for (let tick = wheel.next(0); tick < 200; tick = wheel.next(tick))
          for (let thing = wheel.take(tick); thing >= 0; thing = wheel.take(tick)) met.push([tick, thing]);
        expect(met.map(([tick]) => tick)).toEqual([...ticks].sort((a, b) => a - b));
        expect(new Map(met.map(([tick, thing]) => [thing, tick]))).toEqual(new Map(ticks.entries()));
      }),
    );
  });

  test('a queue gives back by key, and the same keys as they came', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -5, max: 5 }), { maxLength: 40 }), (keys) => {
        const queues = new Queues(2, 40);
        for (const [thing, key] of keys.entries()) queues.add(1, thing, key);
        const taken: number[] = [];
        for (let thing = queues.takeFirst(1); thing >= 0; thing = queues.takeFirst(1)) taken.push(thing);
        const sorted = [...keys.entries()].sort(([, a], [, b]) => a - b).map(([thing]) => thing);
        expect(taken).toEqual(sorted);
        expect(queues.first(0)).toBe(-1);
      }),
    );
  });

  test('the clock of ticks turns working time into a tick and back', () => {
    const timeline = { now: MONDAY_8, tickMs: 2 * MINUTE_MS, ticks: 20_000 };
    const clock = tickClock(timeline, weekdays(28));
    expect(clock.at.length - 1).toBe(20 * 8 * 30);
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 20 * 8 * 30 }), (worked) => {
        const tick = clock.at[worked] ?? 0;
        expect(clock.worked[tick]).toBe(worked);
        expect(clock.worked[tick - 1]).toBe(worked - 1);
        expect(tickOf(timeline, instantOf(timeline, tick))).toBe(tick);
      }),
    );
  });
});

/** When 150 open pairs will be ready: a thousand runs of the demo's line, and what they take of the memory. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { makeWorkshop } from '../../demo-data/records.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { aheadOf, type PairAhead } from '../../src/domain/forecast/ahead.ts';
import { forecast } from '../../src/domain/forecast/forecast.ts';
import { type History, historyOf, type Site } from '../../src/domain/forecast/history.ts';
import type { PairId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { pairOf } from '../../src/domain/record/kinds.ts';
import { type Figure, quantile, round } from './figure.ts';

const RUNS = 1000;
const OPEN_PAIRS = 150;
const TIMES = 7;
/** So many as a thousand runs draw, about. */
const DRAWS = 20_000_000;
const MIB = 2 ** 20;

export interface ForecastSetup {
  readonly site: Site;
  readonly history: History;
  readonly pairs: readonly PairAhead[];
}

/** The demo's workshop on a Wednesday in the early shift, with what its records say. */
export function openForecast(): ForecastSetup {
  const endsAt = Date.parse('2026-11-25T10:17:00Z');
  const { book, calendar, records, epoch } = makeWorkshop({ seed: 7, endsAt, openPairs: OPEN_PAIRS });
  const placed = new Map<PairId, Placed[]>();
  for (const [index, record] of records.entries()) {
    const pair = pairOf(record);
    if (pair === null) continue;
    const own = placed.get(pair) ?? [];
    placed.set(pair, own);
    own.push({ record, pos: index + 1, epoch });
  }
  const facts = [...placed].flatMap(([pair, own]) => factsOf(pair, own, book) ?? []);
  const shifts = shiftsBetween(calendar, book.timeZone, endsAt - 90 * DAY_MS, endsAt + 90 * DAY_MS);
  const site = { book, shifts };
  const pairs = facts.flatMap((pair) => {
    const own = placed.get(pair.pair) ?? [];
    return pair.closed === null ? (aheadOf(pair, foldPair(pair.pair, own), book) ?? []) : [];
  });
  return { site, history: historyOf(facts, site, endsAt), pairs };
}

export function forecastTime({ site, history, pairs }: ForecastSetup): Figure {
  const took: number[] = [];
  const plain: number[] = [];
  // The first one warms the compiler up.
  for (let nth = 0; nth <= TIMES; nth += 1) {
    const ms = timed(() => forecast(site, history, pairs, { seed: nth, runs: RUNS }));
    const base = timed(drawn);
    if (nth > 0) {
      took.push(ms);
      plain.push(base);
    }
  }
  return {
    unit: 'ms',
    values: { ms: round(quantile(took, 0.5)) },
    budget: { ms: 1000 },
    baseline: {
      is: `${DRAWS.toLocaleString('en-GB')} numbers of the same generator, one after the other`,
      values: { ms: round(quantile(plain, 0.5)) },
    },
    runs: TIMES,
    how: `${pairs.length} open pairs, ${RUNS} runs, from the site's history to the forecasts; median of ${TIMES}. Reading the history is not in it.`,
  };
}

export function forecastMemory({ site, history, pairs }: ForecastSetup): Figure {
  setFlagsFromString('--expose-gc');
  const collect: unknown = runInNewContext('gc');
  if (typeof collect !== 'function') throw new Error('the heap cannot be cleared');
  collect();
  collect();
  const before = held();
  const made = forecast(site, history, pairs, { seed: 1, runs: RUNS });
  const after = held();
  if (made.length !== pairs.length) throw new Error('a pair has no forecast');
  return {
    unit: 'MB',
    values: { heap: round((after - before) / MIB) },
    budget: { heap: 64 },
    baseline: null,
    runs: 1,
    how: 'What the forecast leaves on the heap and in typed arrays when it is done, before anything is cleared.',
  };
}

function held(): number {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

function timed(work: () => unknown): number {
  const from = performance.now();
  work();
  return performance.now() - from;
}

function drawn(): number {
  const source = xoroshiro128plus(1);
  let sum = 0;
  for (let draw = 0; draw < DRAWS; draw += 1) sum += source.next();
  return sum;
}

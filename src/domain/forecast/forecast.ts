/**
 * When each open pair will be ready: the rest of its way is run many times through the queues of the stages, with times
 * drawn from the site's own records, and the days on which it was ready are counted. A median and an interval, never a
 * single day; and the same seed gives the same answer.
 *
 * What is assumed: hands keep to their usual benches and shifts, come as often as they came, and take the pair that was
 * due first; what settles takes mostly the least of the site's waits; owners answer as owners did; nobody says stop, and
 * no job changes. What the site's records are too few for is marked in `basis`.
 */
import type { PairId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import { dayIn } from '../whereabouts-promise.ts';
import type { PairAhead } from './ahead.ts';
import { endOfDay } from './day-end.ts';
import type { History, Site } from './history.ts';
import type { Line } from './line.ts';
import { type Plan, planOf } from './plan.ts';
import { quantileOf } from './quantile.ts';
import type { PooledOver, Services } from './services.ts';
import { CAUSES, type Cause, type Outcome, simulate } from './simulate.ts';
import { instantOf } from './timeline.ts';

/** What a pair spends most of its way on. */
export type HangsOn = { readonly on: 'queue'; readonly stage: StageCode } | { readonly on: Cause };

export interface Basis {
  /** Finished visits of the whole site, and the weeks that they are from. */
  readonly spells: number;
  readonly weeks: number;
  /** Stages ahead of this pair whose times are those of all jobs, of all stages, or assumed. */
  readonly pooled: readonly { readonly stage: StageCode; readonly over: Exclude<PooledOver, 'job'> }[];
  /** What is ahead of it and was met too seldom: the length is assumed, and wide. */
  readonly assumed: readonly ('owner' | 'set-aside')[];
}

export interface ReadyDay {
  readonly at: Instant;
  /** `2026-12-10` on the site's calendar. */
  readonly day: string;
}

export interface Forecast {
  readonly pair: PairId;
  readonly promised: string | null;
  /** The median and the ends of the interval; null where it lies beyond the calendar, or the pair will not be made ready. */
  readonly ready: ReadyDay | null;
  readonly early: ReadyDay | null;
  readonly late: ReadyDay | null;
  /** How likely it is ready by the end of the promised day; 0 … 1, null without a promise. */
  readonly keeps: number | null;
  readonly hangsOn: HangsOn | null;
  readonly basis: Basis;
}

export interface Asked {
  readonly seed: number;
  readonly runs?: number;
  /** The shares of runs below the ends of the interval. */
  readonly interval?: readonly [early: number, late: number];
  /** How the site's queues are ordered. */
  readonly order?: Line['order'];
}

export const RUNS = 1000;
export const INTERVAL = [0.1, 0.9] as const;

/** One forecast a pair, in the order of the pairs. */
export function forecast(
  site: Site,
  history: History,
  pairs: readonly PairAhead[],
  { seed, runs = RUNS, interval = INTERVAL, order = 'due' }: Asked,
): readonly Forecast[] {
  const going = pairs.filter(({ stopped }) => !stopped);
  const plan = planOf(site, history, going, order);
  const outcome = simulate(plan.line, { runs, seed });
  const places = new Map(going.map(({ pair }, index) => [pair, index]));
  return pairs.map((pair) => {
    const place = places.get(pair.pair);
    const basis = basisOf(pair, { site, history, services: plan.services });
    if (place === undefined) {
      const { promised } = pair;
      const none = { ready: null, early: null, late: null, hangsOn: { on: 'owner' } as const };
      return { pair: pair.pair, promised, ...none, keeps: promised === null ? null : 0, basis };
    }
    return { ...oneOf(pair, place, { site, plan, outcome, interval }), basis };
  });
}

interface Found {
  readonly site: Site;
  readonly plan: Plan;
  readonly outcome: Outcome;
  readonly interval: readonly [number, number];
}

function oneOf(
  { pair, promised }: PairAhead,
  place: number,
  { site, plan, outcome, interval }: Found,
): Omit<Forecast, 'basis'> {
  const { timeline, line } = plan;
  const { timeZone } = site.book;
  const ticks = outcome.ready.subarray(place * outcome.runs, (place + 1) * outcome.runs);
  const dayAt = (share: number): ReadyDay | null => {
    const tick = quantileOf(ticks, share);
    if (tick >= line.ticks) return null;
    const at = instantOf(timeline, tick);
    return { at, day: dayIn(at, timeZone) };
  };
  const [early, late] = interval;
  return {
    pair,
    promised,
    ready: dayAt(0.5),
    early: dayAt(early),
    late: dayAt(late),
    keeps:
      promised === null
        ? null
        : keptShare(ticks, (endOfDay(promised, timeZone) - timeline.now) / timeline.tickMs),
    hangsOn: hangsOn(plan, outcome, place),
  };
}

function keptShare(sorted: Int32Array, until: number): number {
  let kept = 0;
  while (kept < sorted.length && (sorted[kept] ?? 0) < until) kept += 1;
  return kept / sorted.length;
}

function hangsOn({ numbers }: Plan, { waits }: Outcome, place: number): HangsOn | null {
  const { stages } = numbers;
  const width = stages.length + CAUSES.length;
  const own = waits.subarray(place * width, (place + 1) * width);
  const most = own.reduce((best, ticks, index) => (ticks > (own[best] ?? 0) ? index : best), 0);
  if ((own[most] ?? 0) === 0) return null;
  const stage = stages[most];
  if (stage !== undefined) return { on: 'queue', stage };
  const cause = CAUSES[most - stages.length];
  return cause === undefined ? null : { on: cause };
}

function basisOf(
  { steps, job, hold }: PairAhead,
  {
    site,
    history,
    services,
  }: { readonly site: Site; readonly history: History; readonly services: Services },
): Basis {
  const { owner } = site.book.ways;
  const { spells, weeks, holds } = history;
  const pooled = steps.flatMap(({ stage }) => {
    const { over } = services.of(stage, job);
    return over === 'job' || stage === owner ? [] : [{ stage, over }];
  });
  const asks = steps.some(({ stage }) => stage === owner);
  const lengths = hold?.why === 'stop-note' ? holds.stopped : holds.aside;
  return {
    spells,
    weeks,
    pooled,
    assumed: [
      ...(asks && holds.owner.assumed ? (['owner'] as const) : []),
      ...(hold !== null && lengths.assumed ? (['set-aside'] as const) : []),
    ],
  };
}

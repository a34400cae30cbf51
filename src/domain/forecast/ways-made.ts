/** The steps ahead of the open pairs, and of the kinds of pairs that are yet to come, as tables. */
import type { PairFacts } from '../figures/facts.ts';
import { MINUTE_MS } from '../instant.ts';
import { routeOf } from '../route.ts';
import { routesNow } from '../site-book.ts';
import { type PairAhead, type StepAhead, upTo } from './ahead.ts';
import { takes } from './comings.ts';
import { endOfDay } from './day-end.ts';
import type { History, Site } from './history.ts';
import type { StepTables, WayTables } from './line.ts';
import type { Numbers } from './numbers.ts';
import { type PoolsMade, restsOf } from './pools.ts';
import { rowsOf } from './rows.ts';
import type { Services } from './services.ts';
import { type Timeline, tickOf } from './timeline.ts';

export interface Making {
  readonly site: Site;
  readonly history: History;
  readonly timeline: Timeline;
  readonly numbers: Numbers;
  readonly services: Services;
  readonly pools: PoolsMade;
}

interface Row {
  readonly stage: number;
  readonly pool: number;
  readonly share: number;
  readonly needs: number;
  readonly dueAt: number;
  readonly settles: number;
  readonly hand: number;
  readonly bench: number;
  readonly follow: readonly number[];
}

interface WayRow {
  readonly steps: readonly Row[];
  /** Among its steps. */
  readonly closing: number;
  readonly last: number;
  readonly holdsLast: boolean;
  readonly held: number;
  readonly promise: number;
}

/** What is not due for a while has been due since never. */
const NOT_YET = 0;

export function waysMade(
  making: Making,
  pairs: readonly PairAhead[],
): { steps: StepTables; ways: WayTables } {
  const rows = [...pairs.map((pair) => openWay(making, pair)), ...comingWays(making)];
  const steps = rows.flatMap((way) => way.steps);
  const from = rowsOf(rows.map((way) => way.steps.map((_, index) => index))).from;
  const follow = rowsOf(steps.map((step) => step.follow));
  const ints = (of: (step: Row) => number) => Int32Array.from(steps, of);
  const ofWays = (of: (way: WayRow) => number) => Int32Array.from(rows, of);
  return {
    steps: {
      stage: Uint8Array.from(steps, ({ stage }) => stage),
      pool: ints(({ pool }) => pool),
      share: Float64Array.from(steps, ({ share }) => share),
      needs: Uint8Array.from(steps, ({ needs }) => needs),
      dueAt: ints(({ dueAt }) => dueAt),
      settles: Int16Array.from(steps, ({ settles }) => settles),
      hand: ints(({ hand }) => hand),
      bench: ints(({ bench }) => bench),
      followFrom: follow.from,
      follow: Int32Array.from(follow.all),
    },
    ways: {
      open: pairs.length,
      from,
      closing: Int32Array.from(rows, ({ closing }, index) => (from[index] ?? 0) + closing),
      last: ofWays(({ last }) => last),
      holdsLast: Uint8Array.from(rows, ({ holdsLast }) => (holdsLast ? 1 : 0)),
      held: ofWays(({ held }) => held),
      promise: ofWays(({ promise }) => promise),
    },
  };
}

function openWay(making: Making, pair: PairAhead): WayRow {
  const { site, history, timeline, numbers, pools } = making;
  const place = new Map(pair.steps.map(({ stage }, index) => [stage, index]));
  const needs = pair.steps.map(({ after }) => after.filter((stage) => place.has(stage)));
  const { hold } = pair;
  const lengths = hold?.why === 'stop-note' ? history.holds.stopped : history.holds.aside;
  return {
    steps: pair.steps.map((step, index) => {
      const known = step.sure ? 1 : history.comings.needs(pair.job, step.stage);
      const working = workingOn(making, step);
      return {
        stage: numbers.stage(step.stage),
        pool: poolOf(making, pair, step, needs[index]?.length === 0),
        share: known,
        needs: needs[index]?.length ?? 0,
        dueAt: needs[index]?.length === 0 ? tickOf(timeline, step.since) : NOT_YET,
        settles: step.settles === null || needs[index]?.length !== 0 ? -1 : numbers.stage(step.settles),
        ...working,
        follow: needs.flatMap((before, later) => (before.includes(step.stage) ? [later - index] : [])),
      };
    }),
    closing: place.get(site.book.closingStage) ?? 0,
    last: pair.last === null ? -1 : numbers.last(pair.last),
    holdsLast: pair.holdsLast,
    held: hold === null ? -1 : pools.add(restsOf(lengths, timeline.now - hold.since)),
    promise:
      pair.promised === null
        ? 2 * timeline.ticks
        : tickOf(timeline, endOfDay(pair.promised, site.book.timeZone)),
  };
}

/** The hand that has it in work. A spell that was left open overnight is nobody's. */
function workingOn({ site, timeline, numbers }: Making, { open }: StepAhead): Pick<Row, 'hand' | 'bench'> {
  const { now } = timeline;
  const goesOn =
    open !== null && site.shifts.some(({ from, to }) => from <= open.from && open.from < to && now < to);
  const hand = goesOn ? numbers.hand(open.hand) : -1;
  const bench = goesOn ? numbers.bench(open.bench) : -1;
  return hand < 0 || bench < 0 ? { hand: -1, bench: -1 } : { hand, bench };
}

/** What is left of a step that was begun is drawn from the visits that took longer than it has by now. */
function poolOf(
  { site, history, timeline, services, pools }: Making,
  pair: PairAhead,
  step: StepAhead,
  due: boolean,
): number {
  const { now } = timeline;
  if (step.stage === site.book.ways.owner) {
    const { owner } = history.holds;
    return pools.add(due ? restsOf(owner, now - step.since) : owner.ms);
  }
  const { ms } = services.of(step.stage, pair.job);
  if (step.begun.length === 0) return pools.shared(ms);
  const shift =
    step.open === null
      ? null
      : site.shifts.find(({ from, to }) => from <= (step.open?.from ?? 0) && (step.open?.from ?? 0) < to);
  // Left open beyond its shift: the work is most likely done and only the scan is missing.
  if (step.open !== null && (shift?.to ?? 0) <= now) return pools.add([MINUTE_MS]);
  const openMs = step.open === null ? 0 : now - step.open.from;
  const spent = step.begun.reduce((sum, id) => sum + (history.touch.get(id) ?? 0), openMs);
  const longer = ms.filter((one) => one > spent).map((one) => one - spent);
  return pools.add(longer.length > 0 ? longer : ms.map((one) => one * 0.2));
}

function comingWays(making: Making): readonly WayRow[] {
  const { history } = making;
  const owned = making.pools.add(history.holds.owner.ms);
  return history.comings.like.flatMap((pair) => {
    const way = wayLike(making, pair, owned);
    return way === null ? [] : [way];
  });
}

/** As long after its coming as it was with this pair; a pair without a promise is never late. */
function promiseLike({ promised, logged }: PairFacts, { book }: Site, timeline: Timeline): number {
  if (promised === null || logged === null) return 2 * timeline.ticks;
  return Math.round((endOfDay(promised, book.timeZone) - logged.at) / timeline.tickMs);
}

/** A pair that takes what this one took. Null where its way cannot be told. */
function wayLike(
  { site, timeline, numbers, services, pools }: Making,
  pair: PairFacts,
  owned: number,
): WayRow | null {
  const routes = routesNow(site.book);
  const { receive, owner } = site.book.ways;
  if (routes === null) return null;
  const taken = routes.steps.map(({ stage }) => ({
    stage,
    need: stage !== receive && takes(pair, stage, site.book) ? ('always' as const) : ('never' as const),
  }));
  const route = upTo(site.book.closingStage, routeOf(taken, routes.needs));
  if (route.length === 0) return null;
  const steps = route.map(({ stage, after }, index) => ({
    stage: numbers.stage(stage),
    pool: stage === owner ? owned : pools.shared(services.of(stage, pair.job).ms),
    share: 1,
    needs: after.length,
    dueAt: 0,
    settles: -1,
    hand: -1,
    bench: -1,
    follow: route.flatMap((later, place) => (later.after.includes(stage) ? [place - index] : [])),
  }));
  return {
    steps,
    closing: route.findIndex(({ stage }) => stage === site.book.closingStage),
    last: -1,
    holdsLast: false,
    held: -1,
    promise: promiseLike(pair, site, timeline),
  };
}

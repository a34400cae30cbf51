/** Makes the line that is run out of the site's history and what lies ahead of its open pairs. */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { StageCode } from '../ids.ts';
import { DAY_MS, type Instant, MINUTE_MS } from '../instant.ts';
import { routesNow } from '../site-book.ts';
import type { PairAhead } from './ahead.ts';
import { benchesMade, type ComingHand, comingHands, handsMade, handsOfStages } from './hands-made.ts';
import type { History, Site } from './history.ts';
import type { ArrivalTables, Line, StageTables } from './line.ts';
import { type Numbers, numbersOf } from './numbers.ts';
import { PoolsMade } from './pools.ts';
import { rowsOf } from './rows.ts';
import { Services } from './services.ts';
import { type Timeline, tickClock } from './timeline.ts';
import { type Making, waysMade } from './ways-made.ts';

/** Fine enough for work of minutes, coarse enough for weeks. */
const TICK_MS = 2 * MINUTE_MS;
/** Beyond this no date is worth the name. */
const DAYS_MOST = 120;
const SHARES = 0x1_0000;

export interface Plan {
  readonly line: Line;
  readonly numbers: Numbers;
  readonly timeline: Timeline;
  readonly services: Services;
}

export function planOf(
  site: Site,
  history: History,
  pairs: readonly PairAhead[],
  order: Line['order'],
): Plan {
  const { book, shifts } = site;
  const timeline = timelineOf(shifts, history.now);
  const stages = stagesOf(site, pairs);
  const worked = stages.filter((stage) => stage !== book.ways.owner);
  const hands = comingHands(history.crew, worked, shifts);
  const numbers = numbersOf({
    stages,
    hands: hands.map(({ key }) => key),
    benches: [...new Set(hands.flatMap(({ turns }) => turns.map(({ bench }) => bench)))],
    lasts: [...new Set(pairs.flatMap(({ last }) => (last === null ? [] : [last])))],
  });
  const pools = new PoolsMade(timeline.tickMs);
  const services = new Services(history);
  const making = { site, history, timeline, numbers, services, pools };
  const placeOf = (stage: StageCode | null) => (stage === null ? -1 : stages.indexOf(stage));
  const made = waysMade(making, pairs);
  return {
    numbers,
    timeline,
    services,
    line: {
      ticks: timeline.ticks,
      order,
      stages: stagesMade(making, hands),
      hands: handsMade(hands, shifts, timeline, numbers),
      benches: benchesMade(hands, history.crew, numbers),
      ...made,
      arrivals: arrivalsMade(making, made.ways.from.length - 1 - pairs.length),
      near: history.turns.nearMs / timeline.tickMs,
      rush: history.turns.rushMs / timeline.tickMs,
      outOfTurn: pools.add(history.turns.outOfTurnMs),
      lasts: numbers.lasts.length,
      asidePool: pools.add(history.holds.aside.ms),
      owner: placeOf(book.ways.owner),
      lastFrom: placeOf(book.ways.lastFrom),
      lastTo: placeOf(book.ways.lastTo),
      pools: pools.made(),
    },
  };
}

function timelineOf(shifts: readonly ShiftSpan[], now: Instant): Timeline {
  const end = shifts.reduce((latest, { to }) => Math.max(latest, to), now);
  const ms = Math.min(end - now, DAYS_MOST * DAY_MS);
  return { now, tickMs: TICK_MS, ticks: Math.max(1, Math.ceil(ms / TICK_MS)) };
}

function stagesOf({ book }: Site, pairs: readonly PairAhead[]): readonly StageCode[] {
  const routes = routesNow(book);
  const taken = new Set(pairs.flatMap(({ steps }) => steps.map(({ stage }) => stage)));
  for (const { need, stage } of routes?.steps ?? [])
    if (need.some((one) => one !== 'never')) taken.add(stage);
  return [...taken];
}

function stagesMade(
  { site, history, timeline, numbers, services, pools }: Making,
  hands: readonly ComingHand[],
): StageTables {
  const { stages } = numbers;
  const settles = stages.map((stage) => site.book.stages.find(({ code }) => code === stage)?.settles ?? null);
  const perTick = timeline.tickMs / MINUTE_MS;
  const out = (share: number) => Math.min(SHARES - 1, Math.round(share * SHARES));
  const returns = stages.map((stage) => history.returns.get(stage) ?? { share: 0, again: [] });
  const chains = returns.map(({ again }) =>
    again.map((list) => list.flatMap((stage) => (stages.includes(stage) ? [numbers.stage(stage)] : []))),
  );
  const chainRows = rowsOf(chains.flat());
  return {
    count: stages.length,
    pool: Int32Array.from(stages, (stage) => pools.shared(services.of(stage, null).ms)),
    paceError: Float64Array.from(stages, (stage) =>
      stage === site.book.ways.owner ? 0 : services.errorOf(stage),
    ),
    settleLeast: Float64Array.from(settles, (wait) => (wait?.least ?? 0) / perTick),
    settleMost: Float64Array.from(settles, (wait) => (wait?.most ?? 0) / perTick),
    aside: Uint16Array.from(stages, (stage) => out(history.holds.asideShare.get(stage) ?? 0)),
    back: Uint16Array.from(returns, ({ share }) => out(share)),
    chainsFrom: rowsOf(chains.map((lists) => lists.map((_, index) => index))).from,
    chainFrom: chainRows.from,
    chainStage: Uint8Array.from(chainRows.all),
    ...handsOfStages(hands, numbers),
  };
}

function arrivalsMade({ site, history, timeline }: Making, kinds: number): ArrivalTables {
  const clock = tickClock(timeline, site.shifts);
  const { everyMs } = history.comings;
  const every = everyMs === null || kinds === 0 ? 0 : everyMs / timeline.tickMs;
  const usual = every === 0 ? 0 : (clock.at.length - 1) / every;
  return {
    every,
    clock,
    kinds,
    // Six standard deviations above the mean.
    most: Math.ceil(usual + 6 * Math.sqrt(usual)),
  };
}

/**
 * A pair's way: its state held against its route. What is done, what is due, what is missing before a stage, what
 * must be done again when it goes back. Several fronts are open at once, so there is never one «current stage».
 */
import type { Details, PairState, Spell } from './fold/pair-state.ts';
import { isDone, shareAShoe } from './fold/spells.ts';
import type { StageCode } from './ids.ts';
import { type Instant, MINUTE_MS } from './instant.ts';
import type { Shoe } from './record/kinds.ts';
import { dueNow, missingBefore, type Route, redoFrom } from './route.ts';
import { routesOf, type SiteBook, type Ways } from './site-book.ts';
import { routeOfJob } from './site-routes.ts';

export interface Way {
  readonly route: Route;
  readonly ways: Ways;
  /** Finished on the shoe in question, or on both, and not to be done again. */
  readonly done: ReadonlySet<StageCode>;
  /** Asked for again by a sending back, and not done again yet. */
  readonly again: ReadonlySet<StageCode>;
}

/** Null where the pair was never logged, or the site has no routes: then nothing is known to be missing. */
export function wayOf(state: PairState, book: SiteBook, shoe: Shoe = 'both'): Way | null {
  const { logged, details } = state;
  const routes = logged === null ? null : routesOf(book, logged.route);
  if (routes === null || details === null) return null;
  const dropped = state.notNeeded.map(({ stage }) => stage);
  if (book.ways.owner !== null && !waitsForYes(state, book.ways.owner)) dropped.push(book.ways.owner);
  const done = doneStages(state, book.ways, shoe);
  return {
    route: routeOfJob(routes, details.job, state.asked, dropped),
    ways: book.ways,
    done,
    again: sentBackTo(state, done),
  };
}

function sentBackTo({ sentBack }: PairState, done: ReadonlySet<StageCode>): ReadonlySet<StageCode> {
  const asked = sentBack.flatMap(({ to, again }) => [to, ...again.map(({ stage }) => stage)]);
  return new Set(asked.filter((stage) => !done.has(stage)));
}

/**
 * Given, or not wanted, the yes is no step of the way: it hands its needs on. Taken for a finished stage it would speak
 * for what comes before it, and a pair whose yes came with it could be stripped before anybody had looked it over.
 */
function waitsForYes({ owner, asked }: PairState, stage: StageCode): boolean {
  return owner.is === 'not-asked' ? asked.includes(stage) : owner.is !== 'given';
}

/** What the office does at its desk ends stages too: booking in, the inspection that goes with it, the owner's yes. */
export function doneStages(state: PairState, ways: Ways, shoe: Shoe = 'both'): ReadonlySet<StageCode> {
  const stages = new Set(state.spells.map(({ stage }) => stage));
  const done = new Set([...stages].filter((stage) => isDone(state, stage, shoe)));
  if (ways.receive !== null && state.logged !== null) done.add(ways.receive);
  if (ways.inspect !== null && state.logged?.condition != null) done.add(ways.inspect);
  if (ways.owner !== null) {
    if (state.owner.is === 'given') done.add(ways.owner);
    if (state.owner.is === 'asked' || state.owner.is === 'stopped') done.delete(ways.owner);
  }
  return done;
}

/**
 * What must be finished before `stage` can begin. A stage that was sent back to is asked for from every stage that
 * stands on it, even where what lies between stays done.
 */
export function missingFor({ route, done, again }: Way, stage: StageCode): readonly StageCode[] {
  const missing = new Set(missingBefore(route, stage, done));
  for (const code of again) if (code !== stage && redoFrom(route, code).has(stage)) missing.add(code);
  return route.map((step) => step.stage).filter((code) => missing.has(code));
}

/** Whether the stage stands on the owner's yes, through whatever lies between; all do where the route has no yes. */
export function standsOnYes(way: Way, stage: StageCode): boolean {
  const { owner } = way.ways;
  if (owner === null || !isOnRoute(way, owner)) return true;
  return stage !== owner && redoFrom(way.route, owner).has(stage);
}

/** Left and right must be together at this stage; no pair leaves the works one shoe at a time. */
export function wantsBoth({ ways, closingStage }: SiteBook, stage: StageCode): boolean {
  return ways.together.includes(stage) || stage === closingStage;
}

export function isOnRoute({ route }: Way, stage: StageCode): boolean {
  return route.some((step) => step.stage === stage);
}

/** The open fronts. */
export function dueOn(way: Way): readonly StageCode[] {
  return dueNow(way.route, way.done).filter((stage) => missingFor(way, stage).length === 0);
}

/** What is left, in the usual order: stages always done or asked for, and not finished. */
export function leftOn({ route, done }: Way): readonly StageCode[] {
  return route.filter(({ stage, need }) => need === 'always' && !done.has(stage)).map(({ stage }) => stage);
}

/** Stages that must come before `stage`, near or far, and have no record. */
export function unrecordedBefore(way: Way, stage: StageCode): readonly StageCode[] {
  return leftOn(way).filter((left) => left !== stage && redoFrom(way.route, left).has(stage));
}

/** Whether neither stage stands on the other: both can be worked at the same time. */
export function besideEachOther({ route }: Way, one: StageCode, other: StageCode): boolean {
  return !redoFrom(route, one).has(other) && !redoFrom(route, other).has(one);
}

/** A stage to be done again, and on which shoe. */
export interface Again {
  readonly stage: StageCode;
  readonly shoe: Shoe;
}

/** What has to be done again, besides `to` itself, when a shoe goes back there: of what is done, all that stands on it. */
export function againAfter(way: Way, to: StageCode, shoe: Shoe): readonly Again[] {
  const redo = redoFrom(way.route, to);
  const stages = way.route.map(({ stage }) => stage).filter((stage) => redo.has(stage));
  return againOn(way, to, shoe, stages);
}

/**
 * On which shoe these `stages`, of what is done, are done again. Colour is done again on both shoes, whichever went
 * back, and so is what stands on the colour; where `to` is such a stage itself, the other shoe follows it there.
 */
export function againOn(
  { route, ways, done }: Way,
  to: StageCode,
  shoe: Shoe,
  stages: readonly StageCode[],
): readonly Again[] {
  const coloured = [to, ...stages].filter((stage) => ways.colour.includes(stage) && done.has(stage));
  const both = new Set(coloured.flatMap((stage) => [...redoFrom(route, stage)]));
  const again = stages.filter((stage) => stage !== to && done.has(stage));
  return [
    ...(shoe !== 'both' && both.has(to) ? [{ stage: to, shoe: 'both' as const }] : []),
    ...again.map((stage) => ({ stage, shoe: both.has(stage) ? ('both' as const) : shoe })),
  ];
}

export interface Settling {
  readonly stage: StageCode;
  /** Not before this instant: a caution, never a lock. */
  readonly until: Instant;
}

/** What still dries, cools or mellows before `stage`, by the site's least waits. */
export function settlingBefore(
  state: PairState,
  way: Way,
  book: SiteBook,
  stage: StageCode,
  now: Instant,
): readonly Settling[] {
  const before = way.route.find((step) => step.stage === stage)?.after ?? [];
  return before.flatMap((earlier) => {
    const least = book.stages.find(({ code }) => code === earlier)?.settles?.least ?? 0;
    const spell = lastDone(state, earlier);
    if (least === 0 || spell === null || !spell.timed || spell.to === null) return [];
    const until = spell.to + least * MINUTE_MS;
    return until > now ? [{ stage: earlier, until }] : [];
  });
}

/** The last spell that finished the stage on the shoe, or on either. */
export function lastDone(state: PairState, stage: StageCode, shoe: Shoe = 'both'): Spell | null {
  const finished = (spell: Spell) =>
    spell.stage === stage && spell.outcome === 'done' && shareAShoe(spell.shoe, shoe);
  return state.spells.findLast(finished) ?? null;
}

/** What a pair of lasts is known by. */
export function lastOf({ last, size, fitting }: Pick<Details, 'last' | 'size' | 'fitting'>): string {
  return `${last} ${size} ${fitting}`;
}

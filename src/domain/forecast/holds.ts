/** What kept pairs from going on, and for how long: the owners, and being set aside. Elapsed time, nights included. */
import type { HoldFacts, PairFacts } from '../figures/facts.ts';
import type { StageCode } from '../ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../instant.ts';
import { redoFrom } from '../route.ts';
import { routesNow, type SiteBook } from '../site-book.ts';
import { routeOfJob } from '../site-routes.ts';

/** Durations in milliseconds, and whether there were enough to go by. */
export interface Lengths {
  readonly ms: readonly number[];
  /** Too few: wide lengths that nobody measured stand beside them. */
  readonly assumed: boolean;
}

export interface HoldHistory {
  readonly owner: Lengths;
  readonly aside: Lengths;
  readonly stopped: Lengths;
  /** Of the visits to each stage, how many pairs were set aside from there. */
  readonly asideShare: ReadonlyMap<StageCode, number>;
}

const SAMPLES_LEAST = 5;
/** Wide on purpose; an assumption, no source. */
const ASSUMED_DAYS = [0.2, 0.5, 1, 2, 3, 5, 8, 14];
/** So many visits of the whole site stand in where a stage has few. */
const PRIOR_VISITS = 20;

export function holdHistory(facts: readonly PairFacts[], since: Instant, book: SiteBook): HoldHistory {
  const ended = (why: HoldFacts['why']) =>
    lengths(
      facts.flatMap(({ holds }) =>
        holds.flatMap((hold) =>
          hold.why === why && hold.to !== null && hold.to >= since ? [hold.to - hold.from] : [],
        ),
      ),
    );
  return {
    owner: lengths(facts.flatMap((pair) => answersOf(pair, since, book))),
    aside: ended('set-aside'),
    stopped: ended('stop-note'),
    asideShare: asideShares(facts, since),
  };
}

function lengths(ms: readonly number[]): Lengths {
  const assumed = ms.length < SAMPLES_LEAST;
  return { ms: assumed ? [...ms, ...ASSUMED_DAYS.map((days) => days * DAY_MS)] : ms, assumed };
}

/**
 * How long owners took once they could be asked: what has to be looked at first is done. Where the pair was set aside
 * for it, that counts as being set aside.
 */
function answersOf(pair: PairFacts, since: Instant, book: SiteBook): readonly number[] {
  if (pair.handedBack) return [];
  const before = beforeTheYes(pair, book);
  return pair.holds.flatMap(({ why, from, to }) => {
    if (why !== 'owner' || to === null || to < since) return [];
    const beside = pair.holds.some(
      (other) => other.why === 'set-aside' && Math.abs(other.from - from) < HOUR_MS,
    );
    const looked = pair.spells
      .filter((spell) => before.has(spell.stage) && spell.to !== null && spell.to <= to)
      .map((spell) => spell.to ?? from);
    return beside ? [] : [to - Math.max(from, ...looked)];
  });
}

function beforeTheYes({ job }: PairFacts, book: SiteBook): ReadonlySet<StageCode> {
  const { owner } = book.ways;
  const routes = routesNow(book);
  if (owner === null || routes === null || job === null) return new Set();
  const route = routeOfJob(routes, job);
  return new Set(
    route.map(({ stage }) => stage).filter((stage) => stage !== owner && redoFrom(route, stage).has(owner)),
  );
}

function asideShares(facts: readonly PairFacts[], since: Instant): ReadonlyMap<StageCode, number> {
  const visits = new Map<StageCode, number>();
  const asides = new Map<StageCode, number>();
  const count = (counts: Map<StageCode, number>, stage: StageCode) =>
    counts.set(stage, (counts.get(stage) ?? 0) + 1);
  for (const { spells, holds } of facts) {
    for (const { stage, outcome, to } of spells)
      if (outcome === 'done' && to !== null && to >= since) count(visits, stage);
    for (const { why, from } of holds) {
      if (why !== 'set-aside' || from < since) continue;
      const before = spells.findLast(({ to }) => to !== null && to <= from + MINUTE_MS);
      if (before !== undefined) count(asides, before.stage);
    }
  }
  const sum = (counts: ReadonlyMap<StageCode, number>) =>
    [...counts.values()].reduce((all, one) => all + one, 0);
  const site = sum(asides) / Math.max(1, sum(visits));
  return new Map(
    [...visits].map(([stage, many]) => [
      stage,
      ((asides.get(stage) ?? 0) + PRIOR_VISITS * site) / (many + PRIOR_VISITS),
    ]),
  );
}

/** How many pairs come, for what job, and what they turn out to need. */
import type { ShiftSpan } from '../calendar/calendar.ts';
import { workClock } from '../calendar/work-clock.ts';
import type { PairFacts } from '../figures/facts.ts';
import { grouped } from '../figures/grouped.ts';
import type { StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { Job } from '../record/kinds.ts';
import type { SiteBook } from '../site-book.ts';

export interface Comings {
  /** Working time of the site from one new pair to the next in the mean; null where none came. */
  readonly everyMs: number | null;
  /** Pairs that came and were finished, the latest first: those to come will be like them. */
  readonly like: readonly PairFacts[];
  /** How likely a pair of the job takes a stage that is done if needed, the owner's yes too; 0 … 1. */
  readonly needs: (job: Job, stage: StageCode) => number;
}

/** Fewer closed pairs of a job say too little: all jobs together then. */
const PAIRS_LEAST = 8;
/** Enough to be of every kind. */
const LIKE_MOST = 96;

export function comingsOf(
  facts: readonly PairFacts[],
  past: readonly ShiftSpan[],
  { since, now }: { readonly since: Instant; readonly now: Instant },
  book: SiteBook,
): Comings {
  const came = facts.filter(({ logged }) => logged !== null && logged.at >= since && logged.at <= now);
  const clock = workClock(past);
  const workedMs = clock.worked(now) - clock.worked(since);
  return {
    everyMs: came.length === 0 ? null : workedMs / came.length,
    like: finished(facts)
      .sort((a, b) => (b.closed?.at ?? 0) - (a.closed?.at ?? 0))
      .slice(0, LIKE_MOST),
    needs: needsOf(facts, book),
  };
}

function needsOf(facts: readonly PairFacts[], book: SiteBook): Comings['needs'] {
  const done = finished(facts);
  const byJob = grouped(done, ({ job }) => job);
  const shares = new Map<string, number>();
  return (job, stage) => {
    const key = `${job} ${stage}`;
    const held = shares.get(key);
    if (held !== undefined) return held;
    const own = byJob.get(job) ?? [];
    const from = own.length < PAIRS_LEAST ? done : own;
    const taken = from.filter((pair) => takes(pair, stage, book)).length;
    const share = (taken + 0.5) / (from.length + 1);
    shares.set(key, share);
    return share;
  };
}

function finished(facts: readonly PairFacts[]): PairFacts[] {
  return facts.filter(({ closed, handedBack, job }) => closed !== null && !handedBack && job !== null);
}

export function takes({ spells, holds }: PairFacts, stage: StageCode, { ways }: SiteBook): boolean {
  if (stage === ways.owner) return holds.some(({ why }) => why === 'owner');
  return spells.some((spell) => spell.stage === stage && spell.outcome === 'done');
}

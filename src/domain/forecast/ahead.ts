/** What lies ahead of an open pair: the steps that are left on its way, what each waits for, and what holds it now. */
import type { HoldFacts, PairFacts, SpellFacts } from '../figures/facts.ts';
import type { PairState } from '../fold/pair-state.ts';
import type { BenchId, PairId, RecordId, StageCode } from '../ids.ts';
import { type Instant, MINUTE_MS } from '../instant.ts';
import type { Job } from '../record/kinds.ts';
import { redoFrom } from '../route.ts';
import type { SiteBook } from '../site-book.ts';
import { lastOf, leftOn, missingFor, type Way, wayOf } from '../way.ts';
import { keyOfHand } from './hands.ts';

export interface StepAhead {
  readonly stage: StageCode;
  /** The steps ahead that come before it. */
  readonly after: readonly StageCode[];
  /** False where only the inspection that is still ahead will tell whether it is needed. */
  readonly sure: boolean;
  /** Since when it has been due, or what came before it was done. */
  readonly since: Instant;
  /** What of that has to settle, counted from `since`. */
  readonly settles: StageCode | null;
  /** The spells that began on it and did not finish it, the open one too. */
  readonly begun: readonly RecordId[];
  readonly open: { readonly from: Instant; readonly hand: string; readonly bench: BenchId } | null;
}

export interface PairAhead {
  readonly pair: PairId;
  readonly job: Job;
  readonly loggedAt: Instant;
  readonly promised: string | null;
  readonly steps: readonly StepAhead[];
  readonly last: string | null;
  readonly holdsLast: boolean;
  /** Set aside or stopped by a note; the owner's yes is a step. */
  readonly hold: { readonly why: 'set-aside' | 'stop-note'; readonly since: Instant } | null;
  /** The owner wants no more done: it will not be ready. */
  readonly stopped: boolean;
}

/** Null for a pair that has left, that was never logged, or whose site has no routes: its way is not known. */
export function aheadOf(facts: PairFacts, state: PairState, book: SiteBook): PairAhead | null {
  const way = wayOf(state, book);
  const { logged, details } = state;
  if (facts.closed !== null || logged === null || details === null || way === null) return null;
  const stages = stagesAhead(way, book);
  if (stages.length === 0) return null;
  return {
    pair: facts.pair,
    job: details.job,
    loggedAt: logged.at,
    promised: details.promised,
    steps: stages.map((step) => stepAhead(step, facts, way, book)),
    last: lastOf(details),
    holdsLast: state.last !== null,
    hold: holdOf(facts),
    stopped: state.owner.is === 'stopped',
  };
}

type Left = Pick<StepAhead, 'stage' | 'after' | 'sure'>;

/** Once looked over, a pair takes what it always takes and what was asked for; before that anything may be needed. */
function stagesAhead(way: Way, { ways, closingStage }: SiteBook): readonly Left[] {
  const looked = wasLookedOver(way, ways.inspect);
  const all = looked
    ? leftOn(way).map((stage) => ({ stage, after: missingFor(way, stage), sure: true }))
    : way.route
        .filter(({ stage }) => !way.done.has(stage))
        .map(({ stage, after, need }) => ({
          stage,
          after: after.filter((code) => !way.done.has(code)),
          sure: need === 'always',
        }));
  const withYes = all.map((step) => ({
    ...step,
    after: [...new Set([...step.after, ...yesBefore(step.stage, way)])],
  }));
  return upTo(closingStage, withYes);
}

function wasLookedOver({ route, done }: Way, inspect: StageCode | null): boolean {
  if (inspect === null || !route.some(({ stage }) => stage === inspect)) return true;
  const from = redoFrom(route, inspect);
  return [...done].some((stage) => from.has(stage));
}

/** The owner's yes, asked for again in the middle of the work, stands before all that it always stands before. */
function yesBefore(stage: StageCode, { route, ways, done }: Way): readonly StageCode[] {
  const { owner } = ways;
  if (owner === null || owner === stage || done.has(owner)) return [];
  const isAhead = route.some((step) => step.stage === owner && step.need === 'always');
  return isAhead && redoFrom(route, owner).has(stage) ? [owner] : [];
}

/** Only what the closing stands on, none where it is not among them: what may come later makes nothing later. */
export function upTo<Step extends Pick<Left, 'stage' | 'after'>>(
  closing: StageCode,
  steps: readonly Step[],
): readonly Step[] {
  const byStage = new Map(steps.map((step) => [step.stage, step]));
  const met = new Set<StageCode>();
  const walk = [closing];
  for (let next = walk.pop(); next !== undefined; next = walk.pop()) {
    if (met.has(next)) continue;
    met.add(next);
    walk.push(...(byStage.get(next)?.after ?? []));
  }
  return byStage.has(closing) ? steps.filter(({ stage }) => met.has(stage)) : [];
}

function stepAhead(left: Left, facts: PairFacts, way: Way, book: SiteBook): StepAhead {
  const { spells } = facts;
  const here = spells.filter(({ stage }) => stage === left.stage);
  const begun = here.slice(here.findLastIndex(({ outcome }) => outcome === 'done') + 1);
  const open = begun.findLast(({ outcome }) => outcome === 'open');
  return {
    ...left,
    ...dueSince(left.stage, facts, way, book),
    begun: begun.map(({ id }) => id),
    open: open === undefined ? null : { from: open.from, hand: keyOfHand(open), bench: open.bench },
  };
}

function dueSince(
  stage: StageCode,
  facts: PairFacts,
  way: Way,
  book: SiteBook,
): Pick<StepAhead, 'since' | 'settles'> {
  const before = way.route.find((step) => step.stage === stage)?.after ?? [];
  const done = before.flatMap((code) => {
    const end = way.done.has(code) ? lastEnd(facts.spells, code) : null;
    const most = book.stages.find((one) => one.code === code)?.settles?.most ?? 0;
    return end === null ? [] : [{ code, end, most, until: end + most * MINUTE_MS }];
  });
  const latest = done.toSorted((a, b) => b.until - a.until)[0];
  if (latest !== undefined && latest.most > 0) return { since: latest.end, settles: latest.code };
  const wait = facts.waits.findLast((one) => one.stage === stage && one.to === null);
  const held = stage === book.ways.owner ? holdsOpen(facts, 'owner')?.from : undefined;
  const ends = [facts.logged?.at ?? facts.first.at, ...done.map(({ end }) => end)];
  return { since: wait?.from ?? Math.max(...ends, held ?? 0), settles: null };
}

function lastEnd(spells: readonly SpellFacts[], stage: StageCode): Instant | null {
  return spells.findLast((spell) => spell.stage === stage && spell.outcome === 'done')?.to ?? null;
}

function holdOf(facts: PairFacts): PairAhead['hold'] {
  for (const why of ['set-aside', 'stop-note'] as const) {
    const hold = holdsOpen(facts, why);
    if (hold !== undefined) return { why, since: hold.from };
  }
  return null;
}

function holdsOpen({ holds }: PairFacts, why: HoldFacts['why']): HoldFacts | undefined {
  return holds.findLast((hold) => hold.why === why && hold.to === null);
}

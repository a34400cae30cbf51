/**
 * From when to when a pair waited at a stage, shoe by shoe: the stage is due by the pair's way and is not in work there.
 * The pair's life is gone through once, and what is due is asked for after each turn of it.
 */
import { emptyPair } from '../fold/pair-state.ts';
import type { PairId, StageCode } from '../ids.ts';
import { type OneShoe, SIDES } from '../record/kinds.ts';
import type { SiteBook } from '../site-book.ts';
import { dueStages } from './due-stages.ts';
import type { HoldFacts, StayFacts, WaitFacts } from './facts.ts';
import { sidesOf } from './member.ts';
import type { Standing } from './standing.ts';
import { type Now, type Turn, turnsOf } from './turns.ts';

type Due = Readonly<Record<OneShoe, readonly StageCode[]>>;
type Begun = Pick<WaitFacts, 'from' | 'begunBy'>;

/** None for a pair that was never logged, whose way nobody knows. By their beginning. */
export function waitsOf(
  pair: PairId,
  standing: Standing,
  stays: readonly StayFacts[],
  holds: readonly HoldFacts[],
  book: SiteBook,
): readonly WaitFacts[] {
  if (!standing.records.some(({ kind }) => kind === 'pair-logged')) return [];
  let now: Now = { state: emptyPair(pair), working: [], blocks: 0 };
  const open = { left: new Map<StageCode, Begun>(), right: new Map<StageCode, Begun>() };
  const waits: WaitFacts[] = [];
  let due: Due = { left: [], right: [] };
  for (const turn of turnsOf(standing, stays, holds)) {
    const then = now.state;
    now = turn.does(now);
    if (now.state !== then) due = dueNow(now, book);
    for (const side of SIDES) waits.push(...turned(open[side], side, turn, waitingOn(now, due, side)));
  }
  for (const side of SIDES)
    for (const [stage, begun] of open[side])
      waits.push({ stage, shoe: side, ...begun, to: null, endedBy: null, served: false });
  return bothTogether(waits).sort((a, b) => a.from - b.from);
}

/** Ends in `open` what waits no longer on this shoe, and begins what now waits. Returns what has ended. */
function turned(
  open: Map<StageCode, Begun>,
  side: OneShoe,
  { at, record, begins }: Turn,
  waiting: readonly StageCode[],
): readonly WaitFacts[] {
  const ended: WaitFacts[] = [];
  for (const [stage, begun] of open) {
    if (waiting.includes(stage)) continue;
    open.delete(stage);
    const served = begins?.stage === stage && sidesOf(begins.shoe).includes(side);
    // What came and went in one instant was no wait, unless work began: then it waited no time at all.
    if (served || at > begun.from)
      ended.push({ stage, shoe: side, ...begun, to: at, endedBy: record, served });
  }
  for (const stage of waiting) if (!open.has(stage)) open.set(stage, { from: at, begunBy: record });
  return ended;
}

function dueNow({ state }: Now, book: SiteBook): Due {
  return { left: dueStages(state, book, 'left'), right: dueStages(state, book, 'right') };
}

function waitingOn({ state, working, blocks }: Now, due: Due, side: OneShoe): readonly StageCode[] {
  if (blocks > 0 || state.owner.is === 'stopped') return [];
  const inWork = working.filter(({ shoe }) => sidesOf(shoe).includes(side)).map(({ stage }) => stage);
  return inWork.length === 0 ? due[side] : due[side].filter((stage) => !inWork.includes(stage));
}

/** Where left and right waited for the same, from the same instant to the same, the pair waited. */
function bothTogether(waits: readonly WaitFacts[]): WaitFacts[] {
  const merged = new Map<string, WaitFacts>();
  for (const wait of waits) {
    const { stage, from, to, begunBy, endedBy } = wait;
    const key = [stage, from, to, begunBy, endedBy].join(' ');
    merged.set(key, merged.has(key) ? { ...wait, shoe: 'both' } : wait);
  }
  return [...merged.values()];
}

/** How the words of named persons fold: what they let a pair past, and which stages it needs or does not. */
import type { StageCode } from '../ids.ts';
import type { RecordOf } from '../record/kinds.ts';
import type { PairState, Spell } from './pair-state.ts';

/** The later word holds: what was not needed and is asked for is needed. */
export function askedFor(state: PairState, stages: readonly StageCode[]): PairState {
  return {
    ...state,
    asked: [...new Set([...state.asked, ...stages])],
    notNeeded: state.notNeeded.filter(({ stage }) => !stages.includes(stage)),
  };
}

export function notNeeded(state: PairState, record: RecordOf<'not-needed'>): PairState {
  return {
    ...state,
    asked: state.asked.filter((stage) => stage !== record.stage),
    notNeeded: [...state.notNeeded, record],
  };
}

/**
 * A spell has ended, and with it what was said for it. A word lasts until its stage is done; one about the hand only
 * until that hand's work ends, since the next may be another's. What counts is the order of the records.
 */
export function usedUp(state: PairState, { stage, outcome }: Spell): PairState {
  const ended = wordsHeld(state).filter(
    (word) => word.stage === stage && (outcome === 'done' || word.past === 'not-released'),
  );
  if (ended.length === 0) return state;
  return { ...state, letThroughUsed: [...state.letThroughUsed, ...ended.map(({ id }) => id)] };
}

/** What a named person has let the pair past, and it still holds. */
export function wordsHeld(state: PairState): readonly RecordOf<'let-through'>[] {
  return state.letThrough.filter(({ id }) => !state.letThroughUsed.includes(id));
}

/** Whoever let the pair past the owner's yes did not know of what the owner is asked now. */
export function askedAnew(state: PairState): PairState {
  const old = wordsHeld(state).filter(({ past }) => past === 'owners-yes');
  return { ...state, letThroughUsed: [...state.letThroughUsed, ...old.map(({ id }) => id)] };
}

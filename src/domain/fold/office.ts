/** How the office's records fold: what the pair is, what was put right, and the owner's yes. */
import type { LedgerRecord, RecordOf } from '../record/kinds.ts';
import { hadSeen, type Placed } from './order.ts';
import { type Details, flagged, type OwnersYes, type PairState } from './pair-state.ts';
import { leftTheWorks } from './spells.ts';
import { askedAnew } from './words.ts';

export function logPair(state: PairState, record: RecordOf<'pair-logged'>): PairState {
  if (state.logged !== null) return flagged(state, 'logged-twice', record);
  return {
    ...state,
    logged: record,
    details: detailsOf(record),
    latestDetails: record.id,
    // What a bench has asked for, or the owner answered, before the office wrote the pair down still stands.
    owner: state.owner.is === 'not-asked' ? yesAtLogging(record) : state.owner,
  };
}

function detailsOf(record: RecordOf<'pair-logged'>): Details {
  const { job, ownerRef, style, last, size, fitting, promised, maker, asked } = record;
  return { job, ownerRef, style, last, size, fitting, promised, maker, asked };
}

function yesAtLogging({ yes, at }: RecordOf<'pair-logged'>): OwnersYes {
  switch (yes) {
    case 'to-ask':
      return { is: 'asked', since: at, why: null };
    case 'given':
      return { is: 'given', since: at, why: null };
    case 'not-wanted':
      return { is: 'not-asked', since: null, why: null };
  }
}

/** The later one holds; where its writer had not seen the earlier one, both are kept and the pair is flagged. */
export function amend(state: PairState, record: RecordOf<'pair-amended'>): PairState {
  const next: PairState = {
    ...state,
    amended: [...state.amended, record],
    details: state.details === null ? null : { ...state.details, ...given(record.changes) },
    latestDetails: record.id,
  };
  const apart = state.latestDetails !== null && record.after !== state.latestDetails;
  return apart ? flagged(next, 'amended-apart', record) : next;
}

/** A key that is there and undefined says nothing. */
function given(changes: RecordOf<'pair-amended'>['changes']): Partial<Details> {
  return Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined));
}

/** The owner's stop stands until the owner says otherwise: more that is found at a bench does not lift it. */
export function askOwner(before: PairState, { at, why }: RecordOf<'owner-asked'>): PairState {
  const state = askedAnew(before);
  if (state.owner.is === 'stopped') return state;
  return { ...state, owner: { is: 'asked', since: at, why } };
}

/** Given back in parts: it has left the works as surely as by its last stage. */
export function handBack(state: PairState, record: RecordOf<'handed-back'>): PairState {
  return { ...leftTheWorks(state, record.at), handedBack: record };
}

/** Stages done stay done; job and promise are what was agreed on now. A stop agrees on neither. */
export function answerOwner(state: PairState, record: RecordOf<'owner-answered'>): PairState {
  const { answer, at, words, job, promised } = record;
  return {
    ...state,
    owner: { is: answer === 'stop' ? 'stopped' : 'given', since: at, why: words },
    details:
      state.details === null || answer === 'stop' ? state.details : { ...state.details, job, promised },
  };
}

/**
 * Answers of the owner that say otherwise than the one before, by a writer who could not know of it. The later one
 * holds, and a stop that it takes over may still be what the owner wants: both are shown.
 */
export function answeredApart(
  standing: readonly LedgerRecord[],
  placed: readonly Placed[],
): readonly RecordOf<'owner-answered'>[] {
  const apart: RecordOf<'owner-answered'>[] = [];
  let before: RecordOf<'owner-answered'> | null = null;
  for (const record of standing) {
    if (record.kind !== 'owner-answered') continue;
    const otherwise =
      before !== null &&
      (before.answer !== record.answer || before.job !== record.job || before.promised !== record.promised);
    if (before !== null && otherwise && !hadSeen(record, before, placed)) apart.push(record);
    before = record;
  }
  return apart;
}

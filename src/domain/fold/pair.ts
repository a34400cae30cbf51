/**
 * The present state of a pair, folded from its records. Contradictions are kept and flagged, never dropped:
 * every record is either part of the state, taken back by a `voided`, or named by a flag.
 */
import type { PairId, RecordId } from '../ids.ts';
import type { LedgerRecord } from '../record/kinds.ts';
import { giveTime } from './given-times.ts';
import { aboutNote, noted } from './notes.ts';
import { amend, answeredApart, answerOwner, askOwner, handBack, logPair } from './office.ts';
import { inOrder, type Placed } from './order.ts';
import { emptyPair, type Flag, flagged, flagOn, type PairState } from './pair-state.ts';
import { clockIn, clockOut, doneUnscanned, joinHand, sendBack } from './spells.ts';
import { askedFor, notNeeded } from './words.ts';

/** Folds the records of one pair; any order of arrival and any repetition gives the same state. */
export function foldPair(pair: PairId, placed: readonly Placed[]): PairState {
  const ordered = inOrder(placed);
  const { voided, flags } = voids(ordered.map(({ record }) => record));
  let state: PairState = { ...emptyPair(pair), flags };
  for (const { record, clockDoubtful } of ordered) {
    if (clockDoubtful) state = flagged(state, 'clock-doubtful', record);
    if (voided.has(record.id)) continue;
    state = { ...step(state, record), latest: record, met: meets(record) ? record : state.met };
  }
  const standing = ordered.map(({ record }) => record).filter(({ id }) => !voided.has(id));
  for (const answer of answeredApart(standing, placed)) state = flagged(state, 'answered-apart', answer);
  const first = ordered[0]?.record;
  return first !== undefined && state.logged === null ? flagged(state, 'never-logged', first) : state;
}

function step(state: PairState, record: LedgerRecord): PairState {
  switch (record.kind) {
    case 'pair-logged':
      return logPair(state, record);
    case 'pair-amended':
      return amend(state, record);
    case 'owner-asked':
      return askOwner(state, record);
    case 'owner-answered':
      return answerOwner(state, record);
    case 'pictured':
      return { ...state, pictures: [...state.pictures, record] };
    case 'ticket-reprinted':
      return { ...state, reprints: state.reprints + 1 };
    case 'handed-back':
      return handBack(state, record);
    case 'clocked-in':
      return clockIn(state, record);
    case 'clocked-out':
      return clockOut(state, record);
    case 'hand-joined':
      return joinHand(state, record);
    case 'done-unscanned':
      return doneUnscanned(state, record);
    case 'set-aside':
      return { ...state, setAside: record, rack: null };
    case 'taken-up':
      return { ...state, setAside: null };
    case 'sent-back':
      return sendBack(state, record);
    case 'parted':
      return { ...state, parted: record };
    case 'rejoined':
      return { ...state, parted: null };
    case 'racked':
      return { ...state, rack: record.rack };
    case 'unracked':
      return { ...state, rack: state.rack === record.rack ? null : state.rack };
    case 'last-taken':
      return { ...state, last: record.last };
    case 'last-freed':
      return { ...state, last: null };
    case 'checked':
      return { ...state, checked: record };
    case 'boxed':
      return { ...state, boxed: record };
    case 'noted':
      return noted(state, record);
    case 'note-seen':
    case 'note-cured':
    case 'note-released':
      return aboutNote(state, record);
    case 'let-through':
      return { ...state, letThrough: [...state.letThrough, record] };
    case 'not-needed':
      return notNeeded(state, record);
    case 'stage-asked':
      return askedFor(state, record.stages);
    case 'found-here':
      // Whoever has it in hand has taken it off its rack.
      return { ...state, rack: null };
    case 'time-given':
      return giveTime(state, record);
    case 'looked-into':
      return { ...state, lookedInto: [...state.lookedInto, record] };
    case 'voided':
    case 'bench-set':
    case 'badged-on':
    case 'badged-off':
    case 'reminders-shown':
    case 'machine-stopped':
    case 'machine-back':
      return state;
    default:
      return record satisfies never;
  }
}

/** Whether somebody had the pair in hand; what the office writes at its desk says nothing of where the pair is. */
function meets({ kind }: LedgerRecord): boolean {
  switch (kind) {
    case 'pair-amended':
    case 'owner-asked':
    case 'owner-answered':
    case 'ticket-reprinted':
    case 'let-through':
    case 'not-needed':
    case 'stage-asked':
    case 'note-released':
    case 'voided':
    case 'time-given':
    case 'looked-into':
      return false;
    default:
      return true;
  }
}

/** Which records are taken back. Taking back a taking-back is not a thing: make the record anew. */
function voids(records: readonly LedgerRecord[]): { voided: ReadonlySet<RecordId>; flags: readonly Flag[] } {
  const ids = new Set(records.filter(({ kind }) => kind !== 'voided').map(({ id }) => id));
  const voided = new Set<RecordId>();
  const flags: Flag[] = [];
  for (const record of records) {
    if (record.kind !== 'voided') continue;
    if (ids.has(record.of)) voided.add(record.of);
    else flags.push(flagOn('void-of-nothing', record));
  }
  return { voided, flags };
}

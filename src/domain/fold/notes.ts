/** How notes on a pair fold, and what of them matters where. */
import type { OperativeId, StageCode } from '../ids.ts';
import type { RecordOf } from '../record/kinds.ts';
import { flagged, type NoteState, type PairState } from './pair-state.ts';

export function noted(state: PairState, note: RecordOf<'noted'>): PairState {
  return { ...state, notes: [...state.notes, { note, seen: [], cured: null, released: null }] };
}

type AboutNote = RecordOf<'note-seen'> | RecordOf<'note-cured'> | RecordOf<'note-released'>;

export function aboutNote(state: PairState, record: AboutNote): PairState {
  if (!state.notes.some(({ note }) => note.id === record.note)) return flagged(state, 'note-unknown', record);
  return {
    ...state,
    notes: state.notes.map((held) => (held.note.id === record.note ? changed(held, record) : held)),
  };
}

function changed(held: NoteState, record: AboutNote): NoteState {
  const { by, at } = record;
  switch (record.kind) {
    case 'note-seen':
      return { ...held, seen: [...held.seen, { by, stage: record.stage, at }] };
    case 'note-cured':
      return { ...held, cured: { stage: record.stage, at } };
    case 'note-released':
      return { ...held, released: { by, at, why: record.why } };
  }
}

/** Notes that must be seen at `stage`: not cured, and meant for this stage or for all, or curable here. */
export function notesFor(state: PairState, stage: StageCode): readonly NoteState[] {
  return state.notes.filter(
    ({ note: { seeAt, cureAt }, cured }) =>
      cured === null && (seeAt.length === 0 || seeAt.includes(stage) || cureAt.includes(stage)),
  );
}

/** Whether nobody may work on while the note stands. */
export function stops({ note, cured, released }: NoteState): boolean {
  return note.weight === 'stop' && cured === null && released === null;
}

/** Notes that the stage can cure: what stops the pair only once a named person has released it, for until then nobody works. */
export function curableAt(state: PairState, stage: StageCode): readonly NoteState[] {
  return state.notes.filter(
    (held) => held.cured === null && !stops(held) && held.note.cureAt.includes(stage),
  );
}

/** Whether this hand has seen the note at this stage. */
export function hasSeen(note: NoteState, by: OperativeId, stage: StageCode): boolean {
  return note.seen.some((seen) => seen.by === by && seen.stage === stage);
}

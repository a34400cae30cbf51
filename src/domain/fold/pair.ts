/**
 * The present state of a pair, folded from its records. Contradictions are kept and flagged, never dropped:
 * every record is either part of the state, taken back by a `voided`, or named by a flag.
 */
import type { BenchId, OperativeId, PairId, RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord, RecordOf } from '../record/kinds.ts';
import { inOrder, type Placed } from './order.ts';

/** Work on the pair at one stage by one hand, from clock-in to clock-out. */
export interface Spell {
  /** The clock-in's id. */
  readonly id: RecordId;
  readonly stage: StageCode;
  readonly bench: BenchId;
  readonly by: OperativeId | null;
  readonly from: Instant;
  readonly to: Instant | null;
  readonly outcome: 'open' | 'done' | 'not-finished';
  /** The clock-out's id. */
  readonly endedBy: RecordId | null;
  /** The sent-back that asks for the stage again, once it was done. */
  readonly undoneBy: RecordId | null;
}

export interface NoteState {
  readonly note: RecordOf<'noted'>;
  readonly seen: readonly {
    readonly by: OperativeId | null;
    readonly stage: StageCode;
    readonly at: Instant;
  }[];
  readonly cured: { readonly stage: StageCode; readonly at: Instant } | null;
}

export interface SentBack {
  readonly id: RecordId;
  readonly from: StageCode;
  readonly to: StageCode;
  readonly at: Instant;
  readonly reason: string;
}

export type FlagKind =
  | 'never-logged'
  | 'logged-twice'
  | 'open-at-two-benches'
  | 'out-without-in'
  | 'out-twice'
  | 'void-of-nothing'
  | 'work-after-closing'
  | 'note-unknown'
  | 'clock-doubtful';

export interface Flag {
  readonly flag: FlagKind;
  readonly record: RecordId;
}

export interface PairState {
  readonly pair: PairId;
  readonly logged: RecordOf<'pair-logged'> | null;
  readonly spells: readonly Spell[];
  readonly notes: readonly NoteState[];
  readonly sentBack: readonly SentBack[];
  readonly setAside: RecordOf<'set-aside'> | null;
  readonly closedAt: Instant | null;
  readonly flags: readonly Flag[];
  /** The last record that stands, and thereby where the pair was last met. */
  readonly last: LedgerRecord | null;
}

/** Folds the records of one pair; any order of arrival and any repetition gives the same state. */
export function foldPair(pair: PairId, placed: readonly Placed[]): PairState {
  const ordered = inOrder(placed);
  const { voided, flags } = voids(ordered.map(({ record }) => record));
  let state: PairState = {
    pair,
    logged: null,
    spells: [],
    notes: [],
    sentBack: [],
    setAside: null,
    closedAt: null,
    flags,
    last: null,
  };
  for (const { record, clockDoubtful } of ordered) {
    if (clockDoubtful) state = flagged(state, 'clock-doubtful', record);
    if (!voided.has(record.id)) state = { ...step(state, record), last: record };
  }
  const first = ordered[0]?.record;
  return first !== undefined && state.logged === null ? flagged(state, 'never-logged', first) : state;
}

function step(state: PairState, record: LedgerRecord): PairState {
  switch (record.kind) {
    case 'pair-logged':
      return state.logged === null ? { ...state, logged: record } : flagged(state, 'logged-twice', record);
    case 'clocked-in':
      return clockIn(state, record);
    case 'clocked-out':
      return clockOut(state, record);
    case 'set-aside':
      return { ...state, setAside: record };
    case 'taken-up':
      return { ...state, setAside: null };
    case 'sent-back':
      return sendBack(state, record);
    case 'noted':
      return { ...state, notes: [...state.notes, { note: record, seen: [], cured: null }] };
    case 'note-seen':
      return changeNote(state, record, (note) => ({
        ...note,
        seen: [...note.seen, { by: record.by, stage: record.stage, at: record.at }],
      }));
    case 'note-cured':
      return changeNote(state, record, (note) => ({
        ...note,
        cured: { stage: record.stage, at: record.at },
      }));
    case 'voided':
    case 'bench-set':
    case 'badged-on':
    case 'badged-off':
      return state;
    default:
      return record satisfies never;
  }
}

function clockIn(state: PairState, record: RecordOf<'clocked-in'>): PairState {
  const elsewhere = state.spells.some((spell) => spell.outcome === 'open' && spell.bench !== record.bench);
  const spell: Spell = {
    id: record.id,
    stage: record.stage,
    bench: record.bench,
    by: record.by,
    from: record.at,
    to: null,
    outcome: 'open',
    endedBy: null,
    undoneBy: null,
  };
  let next: PairState = { ...state, spells: [...state.spells, spell], setAside: null };
  if (elsewhere) next = flagged(next, 'open-at-two-benches', record);
  if (state.closedAt !== null) next = flagged(next, 'work-after-closing', record);
  return next;
}

function clockOut(state: PairState, record: RecordOf<'clocked-out'>): PairState {
  const spell = state.spells.find(({ id }) => id === record.of);
  if (spell === undefined) return flagged(state, 'out-without-in', record);
  if (spell.outcome !== 'open') return flagged(state, 'out-twice', record);
  // A clock that stepped back must not make a negative spell; the flag tells of it.
  const ended: Spell = {
    ...spell,
    to: Math.max(record.at, spell.from),
    outcome: record.outcome,
    endedBy: record.id,
  };
  const next: PairState = {
    ...state,
    spells: state.spells.map((other) => (other.id === spell.id ? ended : other)),
    closedAt: record.closes && record.outcome === 'done' ? record.at : state.closedAt,
  };
  return record.at < spell.from ? flagged(next, 'clock-doubtful', record) : next;
}

/** What counts is the order of the records, not their instants: a bench with a slow clock can send back as well. */
function sendBack(state: PairState, record: RecordOf<'sent-back'>): PairState {
  const { id, from, to, at, reason } = record;
  return {
    ...state,
    sentBack: [...state.sentBack, { id, from, to, at, reason }],
    spells: state.spells.map((spell) =>
      spell.stage === to && stands(spell) ? { ...spell, undoneBy: id } : spell,
    ),
  };
}

/** Whether the spell finished its stage and the stage has not been asked for again. */
function stands({ outcome, undoneBy }: Spell): boolean {
  return outcome === 'done' && undoneBy === null;
}

function changeNote(
  state: PairState,
  record: RecordOf<'note-seen'> | RecordOf<'note-cured'>,
  change: (note: NoteState) => NoteState,
): PairState {
  if (!state.notes.some(({ note }) => note.id === record.note)) return flagged(state, 'note-unknown', record);
  return {
    ...state,
    notes: state.notes.map((note) => (note.note.id === record.note ? change(note) : note)),
  };
}

/** Which records are taken back. Taking back a taking-back is not a thing: make the record anew. */
function voids(records: readonly LedgerRecord[]): { voided: ReadonlySet<RecordId>; flags: readonly Flag[] } {
  const ids = new Set(records.filter(({ kind }) => kind !== 'voided').map(({ id }) => id));
  const voided = new Set<RecordId>();
  const flags: Flag[] = [];
  for (const record of records) {
    if (record.kind !== 'voided') continue;
    if (ids.has(record.of)) voided.add(record.of);
    else flags.push({ flag: 'void-of-nothing', record: record.id });
  }
  return { voided, flags };
}

function flagged(state: PairState, flag: FlagKind, record: LedgerRecord): PairState {
  const known = state.flags.some((other) => other.flag === flag && other.record === record.id);
  return known ? state : { ...state, flags: [...state.flags, { flag, record: record.id }] };
}

/** The spells that nobody has ended. */
export function openSpells(state: PairState): readonly Spell[] {
  return state.spells.filter(({ outcome }) => outcome === 'open');
}

/** Whether `stage` was finished and the pair not sent back to it since. */
export function isDone(state: PairState, stage: StageCode): boolean {
  return state.spells.some((spell) => spell.stage === stage && stands(spell));
}

/** Notes that must be seen at `stage`: not cured, and meant for this stage or for all. */
export function notesFor(state: PairState, stage: StageCode): readonly NoteState[] {
  return state.notes.filter(
    ({ note, cured }) => cured === null && (note.seeAt.length === 0 || note.seeAt.includes(stage)),
  );
}

/** Whether this hand has seen the note at this stage. */
export function hasSeen(note: NoteState, by: OperativeId, stage: StageCode): boolean {
  return note.seen.some((seen) => seen.by === by && seen.stage === stage);
}

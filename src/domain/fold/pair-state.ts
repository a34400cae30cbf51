/** What is known of a pair once its records are folded. */
import type { BenchId, OperativeId, PairId, RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord, OneShoe, RecordOf, Shoe } from '../record/kinds.ts';

/** Work on the pair at one stage by one hand, from clock-in to clock-out. */
export interface Spell {
  /** The clock-in's id, or that of the `done-unscanned`. */
  readonly id: RecordId;
  readonly stage: StageCode;
  readonly shoe: Shoe;
  readonly bench: BenchId;
  readonly by: OperativeId | null;
  readonly from: Instant;
  readonly to: Instant | null;
  /** False where nobody scanned at the time, so that `from` or `to` only says when it was told. */
  readonly timed: boolean;
  readonly outcome: 'open' | 'done' | 'not-finished';
  /** The clock-out's id. */
  readonly endedBy: RecordId | null;
  /** The sent-back that asks for the stage again once it was done, shoe by shoe. */
  readonly undone: Readonly<Record<OneShoe, RecordId | null>>;
  /** Other hands at the same spell, and since when. */
  readonly joined: readonly {
    readonly hand: OperativeId;
    readonly as: 'beside' | 'answers';
    readonly at: Instant;
  }[];
  /** The records by which a supervisor gave it its times, in their order. */
  readonly amendedBy: readonly RecordId[];
}

export interface NoteState {
  readonly note: RecordOf<'noted'>;
  readonly seen: readonly {
    readonly by: OperativeId | null;
    readonly stage: StageCode;
    readonly at: Instant;
  }[];
  readonly cured: { readonly stage: StageCode; readonly at: Instant } | null;
  /** Who said that a stop note no longer stops. */
  readonly released: { readonly by: OperativeId | null; readonly at: Instant; readonly why: string } | null;
}

export type FlagKind =
  | 'never-logged'
  | 'logged-twice'
  | 'amended-apart'
  | 'answered-apart'
  | 'open-at-two-benches'
  | 'out-without-in'
  | 'out-twice'
  | 'hand-without-spell'
  | 'time-without-spell'
  | 'time-backwards'
  | 'void-of-nothing'
  | 'work-after-closing'
  | 'note-unknown'
  | 'clock-doubtful';

export interface Flag {
  readonly flag: FlagKind;
  readonly record: RecordId;
  /** When, by whom and where that record was made. */
  readonly at: Instant;
  readonly by: OperativeId | null;
  readonly bench: BenchId;
  /** The record that it names in its turn: of a clock-out, the clock-in. */
  readonly of: RecordId | null;
}

/** What the office holds of a pair, with everything put right since. */
export type Details = Pick<
  RecordOf<'pair-logged'>,
  'job' | 'ownerRef' | 'style' | 'last' | 'size' | 'fitting' | 'promised' | 'maker' | 'asked'
>;

/** Where the owner's yes stands. `not-asked`: nobody has wanted it. */
export interface OwnersYes {
  readonly is: 'not-asked' | 'asked' | 'given' | 'stopped';
  readonly since: Instant | null;
  readonly why: string | null;
}

export interface PairState {
  readonly pair: PairId;
  readonly logged: RecordOf<'pair-logged'> | null;
  readonly details: Details | null;
  /** The logging or amendment that `details` end with. */
  readonly latestDetails: RecordId | null;
  readonly amended: readonly RecordOf<'pair-amended'>[];
  readonly owner: OwnersYes;
  readonly spells: readonly Spell[];
  readonly notes: readonly NoteState[];
  readonly sentBack: readonly RecordOf<'sent-back'>[];
  readonly letThrough: readonly RecordOf<'let-through'>[];
  /** Those of them that hold no longer: the work they were for is done. */
  readonly letThroughUsed: readonly RecordId[];
  readonly notNeeded: readonly RecordOf<'not-needed'>[];
  /** Stages that this pair needs beyond what its job always takes: asked for, or to be done again. */
  readonly asked: readonly StageCode[];
  readonly setAside: RecordOf<'set-aside'> | null;
  /** Which shoe travels alone. */
  readonly parted: RecordOf<'parted'> | null;
  readonly rack: string | null;
  /** The pair of lasts that is in it. */
  readonly last: string | null;
  readonly checked: RecordOf<'checked'> | null;
  readonly boxed: RecordOf<'boxed'> | null;
  /** Given back unfinished; null again once the pair is worked or sent back after that. */
  readonly handedBack: RecordOf<'handed-back'> | null;
  readonly pictures: readonly RecordOf<'pictured'>[];
  readonly reprints: number;
  readonly closedAt: Instant | null;
  readonly flags: readonly Flag[];
  /** What a supervisor has looked at, and lets stand as it is. */
  readonly lookedInto: readonly RecordOf<'looked-into'>[];
  /** The last record of the pair's own way that stands, and thereby where the pair was last met. */
  readonly met: LedgerRecord | null;
  /** The last record that stands, whoever made it. */
  readonly latest: LedgerRecord | null;
}

export function emptyPair(pair: PairId): PairState {
  return {
    pair,
    logged: null,
    details: null,
    latestDetails: null,
    amended: [],
    owner: { is: 'not-asked', since: null, why: null },
    spells: [],
    notes: [],
    sentBack: [],
    letThrough: [],
    letThroughUsed: [],
    notNeeded: [],
    asked: [],
    setAside: null,
    parted: null,
    rack: null,
    last: null,
    checked: null,
    boxed: null,
    handedBack: null,
    pictures: [],
    reprints: 0,
    closedAt: null,
    flags: [],
    lookedInto: [],
    met: null,
    latest: null,
  };
}

/** The same flag on the same record counts once. */
export function flagged(state: PairState, flag: FlagKind, record: Flaggable): PairState {
  const known = state.flags.some((other) => other.flag === flag && other.record === record.id);
  return known ? state : { ...state, flags: [...state.flags, flagOn(flag, record)] };
}

type Flaggable = Pick<LedgerRecord, 'id' | 'at' | 'by' | 'bench'> & { readonly of?: RecordId };

export function flagOn(flag: FlagKind, { id, at, by, bench, of }: Flaggable): Flag {
  return { flag, record: id, at, by, bench, of: of ?? null };
}

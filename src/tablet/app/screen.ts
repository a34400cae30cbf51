/** What the bench page shows: one union, so that no page can misread it. */
import type { Begin, Question } from '../../domain/begin.ts';
import type { DoneHere, OpenHere } from '../../domain/fold/bench.ts';
import type { NoteState, PairState, Spell } from '../../domain/fold/pair-state.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Refusal } from '../../domain/intent.ts';
import type { Shoe } from '../../domain/record/kinds.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { LedgerTrouble, Outbox, Settings } from '../ledger/ledger.ts';

interface At {
  readonly at: Instant;
}
interface Undoable extends At {
  /** The records that an undo takes back. */
  readonly undo: readonly RecordId[];
}

interface Before extends At {
  readonly begin: Begin;
  /** Records of the same act that have come first: an undo of the clock-in takes them back as well. */
  readonly before: readonly RecordId[];
}

/** What has just happened to the pair on the card, or what stands before its work. */
export type Moment =
  | (Undoable & { readonly is: 'clocked-in'; readonly spell: Spell })
  | (Undoable & {
      readonly is: 'clocked-out';
      readonly spell: Spell;
      /** The same hand can go on with this stage here, by one touch. */
      readonly next: StageCode | null;
    })
  | (Undoable & { readonly is: 'not-finished'; readonly takenBack: readonly RecordId[] })
  | (Undoable & { readonly is: 'set-aside'; readonly reason: string })
  | (Undoable & {
      readonly is: 'sent-back';
      readonly to: StageCode;
      readonly shoe: Shoe;
      /** Clocked out as done before: an undo makes those records anew. */
      readonly takenBack: readonly RecordId[];
    })
  /** Clocked in before this shift and never out: what became of it is asked. */
  | (At & { readonly is: 'forgotten'; readonly spell: Spell })
  /** Opened from the list, nothing done to it yet. */
  | (At & { readonly is: 'open'; readonly spell: Spell })
  | (Before & { readonly is: 'reminders' })
  | (Before & { readonly is: 'see-notes'; readonly unseen: readonly NoteState[] })
  | (Before & { readonly is: 'stopped'; readonly by: readonly NoteState[] })
  | (Before & { readonly is: 'asked'; readonly question: Question })
  /** The final check's own questions, before the pair is clocked out there. */
  | (At & {
      readonly is: 'checking';
      readonly spell: Spell;
      readonly probe: boolean;
      readonly board: boolean;
    })
  | (At & {
      readonly is: 'boxing';
      readonly spell: Spell;
      readonly back: readonly string[];
      readonly tag: 'scanned' | 'by-eye' | null;
    });

/** What is chosen from a list on the card, in place of its notes. */
export type Choosing =
  | { readonly is: 'more' }
  | { readonly is: 'set-aside' }
  | { readonly is: 'send-back'; readonly shoe: Shoe }
  | { readonly is: 'part' }
  | { readonly is: 'machine' }
  | { readonly is: 'second-hand' }
  | { readonly is: 'reminders' }
  /** Done but not scanned: why. */
  | { readonly is: 'late' }
  /** What a supervisor, whose badge was scanned, decides. */
  | { readonly is: 'let-through'; readonly by: OperativeId }
  | { readonly is: 'release'; readonly by: OperativeId }
  /** Passing the check, or boxing, with something open. */
  | { readonly is: 'pass-open' }
  | { readonly is: 'note' };

export interface PairCard {
  readonly id: PairId;
  /** Null where this tablet has no record of the ticket. */
  readonly pair: PairState | null;
  readonly stage: StageCode;
  readonly moment: Moment;
  /** Which of the stage's reminders are shown; stays while the card does. */
  readonly turn: number;
  readonly choosing: Choosing | null;
}

/** What came of presenting a set-up code. */
export type EnrolOutcome =
  | { readonly is: 'enrolled'; readonly settings: Partial<Settings> }
  | {
      readonly is:
        | 'unknown-code'
        | 'used-code'
        | 'no-server'
        | 'too-many-tries'
        | 'keeps-nothing'
        | 'records-wait'
        | 'refused-kept';
    };

/** A pair on the rack, and what a touch for the whole rack would do with it here. */
export interface OnRack {
  readonly pair: PairId;
  readonly state: PairState;
  readonly stage: StageCode;
  readonly can: 'clock-in' | 'clock-out' | 'scan-it';
}

export type Screen =
  | { readonly is: 'starting' }
  | { readonly is: 'broken'; readonly trouble: LedgerTrouble }
  | {
      readonly is: 'enrol';
      readonly state: 'waiting' | 'asking' | Exclude<EnrolOutcome['is'], 'enrolled'>;
    }
  | { readonly is: 'nobody-on' }
  | { readonly is: 'ready' }
  | { readonly is: 'card'; readonly card: PairCard }
  | { readonly is: 'rack'; readonly rack: string; readonly pairs: readonly OnRack[] }
  | { readonly is: 'settings' };

/** A scan or tap that leaves no card of its own, told in the bar until the next one. */
export type Hint =
  | { readonly is: 'refused'; readonly why: Refusal }
  | { readonly is: 'wrong-layout'; readonly layout: 'azerty' | 'qwertz' }
  | { readonly is: 'scanner-keys' }
  | { readonly is: 'scanner-cut-short' }
  | { readonly is: 'several-codes' }
  | { readonly is: 'reading-in' }
  | { readonly is: 'set-up-in-settings' }
  | { readonly is: 'still-in-view' }
  | { readonly is: 'badged-on'; readonly name: string }
  | { readonly is: 'badged-off'; readonly name: string }
  | { readonly is: 'handed-over'; readonly from: string; readonly to: string; readonly open: number }
  | { readonly is: 'undone' }
  | { readonly is: 'found'; readonly pair: PairId }
  | { readonly is: 'racked'; readonly rack: string }
  | { readonly is: 'joined'; readonly name: string; readonly as: 'beside' | 'answers' }
  | { readonly is: 'parted'; readonly shoe: Shoe }
  | { readonly is: 'noted'; readonly raises: 'nothing' | 'owner' | 'stage' | 'stop' }
  | { readonly is: 'cured' }
  | { readonly is: 'released' }
  | { readonly is: 'pictured' }
  | { readonly is: 'no-picture'; readonly why: 'not-a-picture' | 'too-large' | 'unreadable' | 'not-kept' }
  | { readonly is: 'machine-stopped' }
  | { readonly is: 'machine-back' }
  | { readonly is: 'many'; readonly did: 'in' | 'out'; readonly pairs: number; readonly left: number };

export type Storage = 'lasting' | 'may-be-cleared' | 'cannot-say';

export interface ServerLink {
  readonly is: 'not-tried' | 'reached' | 'unreachable' | 'perhaps-certificate' | 'paused' | 'stopped';
  readonly why: string | null;
  readonly lastAt: Instant | null;
}

export interface View {
  readonly screen: Screen;
  readonly hint: Hint | null;
  /** The last act failed to be recorded; nothing pretends otherwise. */
  readonly unrecorded: LedgerTrouble | null;
  readonly book: SiteBook | null;
  /** False while a new tablet still reads in what the site's tablets have recorded. */
  readonly readIn: boolean;
  readonly benchName: string;
  readonly stages: readonly StageCode[];
  /** Stages whose machine may not be run here, with the reason. */
  readonly outOfUse: ReadonlyMap<StageCode, string>;
  readonly on: { readonly id: OperativeId; readonly name: string } | null;
  readonly open: readonly OpenHere[];
  readonly doneThisShift: number;
  /** The last few of them, newest first. */
  readonly doneLast: readonly DoneHere[];
  /** Scans only say «found here». */
  readonly finding: boolean;
  readonly outbox: Outbox;
  readonly link: ServerLink;
  readonly storage: Storage;
  readonly clock: { readonly offsetMs: number; readonly known: boolean };
  readonly updateReady: boolean;
  readonly keypadOpen: boolean;
  readonly now: Instant;
}

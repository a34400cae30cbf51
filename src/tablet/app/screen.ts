/** What the bench page shows: one union, so that no page can misread it. */
import type { DoneHere, OpenHere } from '../../domain/fold/bench.ts';
import type { NoteState, PairState, Spell } from '../../domain/fold/pair.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Question, Refusal } from '../../domain/intent.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { LedgerTrouble, Outbox, Settings } from '../ledger/ledger.ts';

/** What has just happened to the pair on the card. */
export type Moment =
  | {
      readonly is: 'clocked-in';
      readonly at: Instant;
      readonly spell: Spell;
      readonly undo: readonly RecordId[];
    }
  | {
      readonly is: 'clocked-out';
      readonly at: Instant;
      readonly spell: Spell;
      readonly undo: readonly RecordId[];
    }
  | {
      readonly is: 'not-finished';
      readonly at: Instant;
      readonly undo: readonly RecordId[];
      readonly wasDone: Spell | null;
    }
  | {
      readonly is: 'set-aside';
      readonly at: Instant;
      readonly reason: string;
      readonly undo: readonly RecordId[];
    }
  | {
      readonly is: 'sent-back';
      readonly at: Instant;
      readonly to: StageCode;
      /** Clocked out as done before: an undo makes that record anew. */
      readonly wasDone: Spell | null;
      readonly undo: readonly RecordId[];
    }
  /** Opened from the list, nothing done to it yet. */
  | { readonly is: 'open'; readonly at: Instant; readonly spell: Spell }
  | { readonly is: 'see-notes'; readonly at: Instant; readonly unseen: readonly NoteState[] }
  | { readonly is: 'stopped'; readonly at: Instant; readonly by: readonly NoteState[] }
  | { readonly is: 'asked'; readonly at: Instant; readonly question: Question };

export interface PairCard {
  readonly id: PairId;
  /** Null where this tablet has no record of the ticket. */
  readonly pair: PairState | null;
  readonly stage: StageCode;
  readonly moment: Moment;
  /** Which of the stage's reminders are shown; stays while the card does. */
  readonly turn: number;
  /** Choosing a reason or a stage before the pair is set aside or sent back. */
  readonly choosing: 'set-aside' | 'send-back' | null;
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
        | 'records-wait';
    };

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
  | { readonly is: 'settings' };

/** A scan that led to nothing, shown in the bar until the next one. */
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
  | { readonly is: 'undone' };

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
  readonly on: { readonly id: OperativeId; readonly name: string } | null;
  readonly open: readonly OpenHere[];
  readonly doneThisShift: number;
  /** The last few of them, newest first. */
  readonly doneLast: readonly DoneHere[];
  readonly outbox: Outbox;
  readonly link: ServerLink;
  readonly storage: Storage;
  readonly clock: { readonly offsetMs: number; readonly known: boolean };
  readonly updateReady: boolean;
  readonly keypadOpen: boolean;
  readonly now: Instant;
}

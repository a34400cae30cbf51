/**
 * The tablet's ledger: the contract. `idb-ledger.ts` keeps it in IndexedDB; every implementation is held to
 * tests/contract/tablet-ledger.ts.
 *
 * - A record is *made* when `commit` resolves, and not before: record, sequence and outbox entry are written in one
 *   transaction of strict durability. When it rejects, nothing of the batch was written, save that after `stuck`
 *   the store has not said either way.
 * - Committing the same drafts again is always safe: a draft whose id is held already is the record that was made.
 * - `commit` gives each draft the next `seq` of this bench and the cursor seen, inside that transaction, so that two
 *   windows of one tablet can never use a number twice.
 * - Nothing leaves the outbox but by the server's word for that very id (`confirm`, `refuse`).
 * - Pulled records and the cursor that they lead to are written in one transaction.
 * - A pair is held whole up to the cursor or not at all: what is told of a pair that is not held is asked for whole.
 * - Nothing that the server has not confirmed is ever forgotten.
 * - There is no memory fall-back: a store that cannot be written says so with a `LedgerFailure`.
 */

import type { OffsetSample } from '../../domain/clock-offset.ts';
import type { Placed } from '../../domain/fold/order.ts';
import type { BenchId, Cursor, PairId, RecordId, SiteId, StageCode } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import type { SiteBook } from '../../domain/site-book.ts';

/** Who this tablet is, from its enrolment. */
export interface Enrolment {
  readonly site: SiteId;
  readonly dataset: string;
  readonly bench: BenchId;
  readonly place: 'bench' | 'desk';
  readonly name: string;
  readonly key: string;
  readonly lane: number;
}

/** A record as the server hands it out, and its position. */
export interface Pulled {
  readonly pos: number;
  readonly record: unknown;
}

/** A record in the outbox, as it was made. */
export interface Unsent {
  readonly record: LedgerRecord;
  readonly state: 'waiting' | 'refused';
  /** Why the server would not take it; empty while it waits. */
  readonly reasons: readonly string[];
}

export interface Outbox {
  /** Records that the server has not confirmed. */
  readonly waiting: number;
  /** When the oldest of them was made, by the corrected clock; null when none waits. */
  readonly oldestAt: Instant | null;
  /** Records that the server would not take; they are kept for a supervisor to look at. */
  readonly refused: number;
}

/** What is remembered from one start of the app to the next, beside the records. */
export interface Settings {
  readonly enrolment: Enrolment | null;
  readonly book: SiteBook | null;
  readonly stages: readonly StageCode[];
  /** The newest samples of the clock's offset, oldest first. */
  readonly offsets: readonly OffsetSample[];
  readonly cursor: Cursor;
  readonly epoch: string | null;
  /** Next ticket number of this tablet's lane. */
  readonly ticketCounter: number;
  /** Camera chosen for this tablet. */
  readonly cameraId: string | null;
  /**
   * Everything that the server held has been read at least once. Until then a pair may carry notes that this tablet
   * has not heard of, and no pair is clocked in.
   */
  readonly readIn: boolean;
  /** When old pairs were last forgotten; null for never. */
  readonly forgotAt: Instant | null;
}

/** One pair's records. */
export interface PairRecords {
  readonly pair: PairId;
  readonly placed: readonly Placed[];
}

export interface TabletLedger {
  /**
   * Makes records. Resolves once they are durable.
   * @throws LedgerFailure when they are not, and then none of them is
   * @throws RangeError when a draft is no record by the schemas: that is a mistake of the program
   */
  commit(drafts: readonly Draft[]): Promise<readonly LedgerRecord[]>;

  recordsOfPair(pair: PairId): Promise<readonly Placed[]>;
  /**
   * All pairs with all their records, in slices that are each read soon, so that a page can draw in between. A pair
   * stands in one slice. What is written meanwhile may be in it or not: `watch` first.
   */
  everyPair(): AsyncIterable<readonly PairRecords[]>;
  /** Records about a thing besides pairs (lasts, a rack, a machine), as `thingOf` names it. */
  recordsOfThing(thing: string): Promise<readonly Placed[]>;
  /**
   * The records that this bench itself made, in their sequence: from the first one made since `since`, all of them.
   * What comes after in the sequence is among them though a clock that was wrong has dated it earlier: a state that
   * is folded from them must not miss what came last.
   */
  recordsOfBench(bench: BenchId, since: Instant): Promise<readonly LedgerRecord[]>;

  /**
   * A ticket number of this tablet's own lane. It is taken when this resolves, for all windows and for good; one that
   * the ledger holds records of is passed over, should this store be one that was set back.
   * @throws RangeError where the tablet is not enrolled or its lane is used up
   */
  takeTicket(): Promise<PairId>;

  /** The oldest waiting records, in sequence, at most `limit`, as they were made: maybe by a newer app than this. */
  waiting(limit: number): Promise<readonly LedgerRecord[]>;
  confirm(ids: readonly RecordId[]): Promise<void>;
  refuse(refused: readonly { readonly id: RecordId; readonly reasons: readonly string[] }[]): Promise<void>;
  outbox(): Promise<Outbox>;
  /** All that is in the outbox, waiting or refused, in sequence, in slices that are each read soon. */
  inOutbox(): AsyncIterable<readonly Unsent[]>;

  /**
   * To be told once everything that the server holds has been applied. Own records that it had confirmed and does
   * not hold (a backup was restored) wait again: those without a place in `epoch`, and those above `heldSeq`. And
   * no number up to `heldSeq` is given to a new record, should this store be the one that was set back.
   * @param heldSeq the highest sequence of the bench that the server holds, 0 for none
   * @returns how many records wait again
   */
  serverHolds(bench: BenchId, epoch: string, heldSeq: number): Promise<number>;

  /**
   * Writes pulled records and the cursor together. A record already held gets its place and keeps its content.
   * A record that this version cannot read is kept raw and left out of folds. Within one epoch the cursor never
   * goes back.
   * @returns the pairs of records that are new here or got a place
   */
  apply(pulled: readonly Pulled[], cursor: Cursor): Promise<readonly PairId[]>;

  /**
   * Writes pulled records and leaves the cursor where it is: a page of a snapshot, or a pair fetched whole. Otherwise
   * as `apply`; again is harmless.
   */
  place(pulled: readonly Pulled[], epoch: string): Promise<readonly PairId[]>;
  /** Those of the pairs of which nothing is held that has a place in `epoch`. */
  notHeld(pairs: readonly PairId[], epoch: string): Promise<readonly PairId[]>;
  /**
   * Forgets those of the pairs of which every record has a place in `epoch` and was made before `before`, and none is
   * in the outbox; the others stay whole. A number of this bench that was used stays used.
   * @returns the pairs that are forgotten
   */
  forget(pairs: readonly PairId[], epoch: string, before: Instant): Promise<readonly PairId[]>;

  /**
   * Forgets everything, for a tablet that goes to another body of data.
   * @throws LedgerFailure; RangeError while records or photographs wait for the server, and then nothing is forgotten
   */
  startAnew(): Promise<void>;

  settings(): Promise<Settings>;
  remember(settings: Partial<Settings>): Promise<void>;

  /** Called after any change by any window of this tablet, with the pairs touched (empty: settings or outbox only). */
  watch(onChange: (pairs: readonly PairId[]) => void): () => void;
  close(): void;
}

/** Why nothing could be recorded, told apart by what a person can do about it. */
export type LedgerTrouble =
  | 'no-storage'
  | 'full'
  | 'blocked-by-old-window'
  | 'unreadable'
  | 'stuck'
  | 'lost-connection';

export class LedgerFailure extends Error {
  override readonly name = 'LedgerFailure';
  constructor(
    readonly trouble: LedgerTrouble,
    options?: ErrorOptions,
  ) {
    super(`the tablet's ledger could not be used: ${trouble}`, options);
  }
}

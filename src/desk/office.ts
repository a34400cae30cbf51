/**
 * What the desk's pages work with: every pair of the site, folded, from the desk's own ledger, so that they answer
 * with no network too; and the making of the office's records, which are kept and sent like a tablet's.
 */
import type { Said } from '../domain/drafts.ts';
import type { PairState } from '../domain/fold/pair-state.ts';
import type { BenchId, OperativeId, PairId } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import type { LedgerRecord, RecordKind } from '../domain/record/kinds.ts';
import type { SiteBook } from '../domain/site-book.ts';
import type { MachineOut } from './machines.ts';

/** A record to be made by whoever is at the desk. */
export type Act = {
  readonly [Kind in RecordKind]: { readonly kind: Kind; readonly said: Said<Kind> };
}[RecordKind];

export interface Office {
  readonly book: SiteBook;
  readonly desk: BenchId;
  /** Who is at the desk; null until somebody has said so, and then nothing is recorded. */
  readonly at: OperativeId | null;
  readonly pairs: ReadonlyMap<PairId, PairState>;
  /** The machines that may not be run now. */
  readonly outOfUse: readonly MachineOut[];
  /** Every pair that this desk holds is in `pairs`, and everything that the server held has come in at least once. */
  readonly readIn: boolean;
  /** When the server was last reached: how old the answers may be. Null for never. */
  readonly upTo: Instant | null;
  /** Records made here that the server has not confirmed. */
  readonly waiting: number;
  readonly now: Instant;

  /** A ticket number of this desk's own lane: no other tablet or desk can give it, and it is never given twice. */
  newTicket(): Promise<PairId>;
  /** Makes the records in one go; resolves once they are durable. @throws LedgerFailure when none of them was made */
  record(acts: readonly Act[]): Promise<readonly LedgerRecord[]>;
}

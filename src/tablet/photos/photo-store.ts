/**
 * The tablet's photographs: the contract. `../ledger/idb-photos.ts` keeps them in the ledger's own database; every
 * implementation is held to tests/contract/photo-store.ts.
 *
 * - A photograph is *kept* when `keep` resolves, and not before: it is then on the disk as a record would be.
 * - What waits for the server, and what the server would not take, is never given up for room.
 * - What the server holds is given up oldest first, above a budget: it can be fetched again.
 */
import type { Instant } from '../../domain/instant.ts';
import type { PhotoType } from '../../wire/photo.ts';

export interface Photo {
  /** SHA-256 of its bytes, 64 hexadecimal digits in lower case. */
  readonly photo: string;
  readonly type: PhotoType;
  readonly blob: Blob;
}

/** `at-server`: by the server's word for that very hash. */
export type PhotoState = 'waiting' | 'at-server' | 'refused';

export interface KeptPhoto extends Photo {
  readonly state: PhotoState;
  readonly at: Instant;
  /** Why the server would not take it. */
  readonly reasons: readonly string[];
}

export interface PhotoCounts {
  readonly waiting: number;
  readonly refused: number;
}

/** Photographs that the server holds are given up above so many bytes. */
export const PHOTO_BUDGET_BYTES = 100 * 1024 * 1024;

export interface PhotoStore {
  /**
   * Keeps a photograph that was taken here, for the server. One that is held already stays as it is.
   * @param at when it was taken, by the corrected clock
   * @throws LedgerFailure when it is not kept
   */
  keep(photo: Photo, at: Instant): Promise<void>;
  /** Keeps what was fetched from the server, as far as the budget goes. */
  keepFetched(photo: Photo, at: Instant): Promise<void>;
  get(photo: string): Promise<KeptPhoto | null>;

  /** Hashes of those that wait, oldest first, at most `limit`. */
  waiting(limit: number): Promise<readonly string[]>;
  counts(): Promise<PhotoCounts>;
  /** @param epoch of the server's ledger that took it */
  markAtServer(photo: string, epoch: string): Promise<void>;
  markRefused(photo: string, reasons: readonly string[]): Promise<void>;
  /**
   * After a restore from a backup the server may have lost photographs: those that this tablet sent in another epoch,
   * and still holds, wait again.
   * @returns how many
   */
  waitAgain(epoch: string): Promise<number>;
}

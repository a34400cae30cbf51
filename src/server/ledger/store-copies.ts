/** Copies of a ledger: taken while it is written, looked into, put back. One implementation for each kind of store. */
import type { SqlLedger } from './sql-ledger.ts';

export interface OpenCopy {
  readonly ledger: SqlLedger;
  close(): Promise<void>;
}

export interface StoreCopies {
  /** Writes one moment of the ledger into a new file. Whoever writes meanwhile is not held up. */
  take(file: string): Promise<void>;
  /** Opens what is in the file, in a place of its own. @throws StoreFault where it is no whole ledger */
  open(file: string): Promise<OpenCopy>;
  /**
   * Puts the file where the ledger is.
   * @param replacing whether a ledger that is there may give way; an embedded one is set aside and not deleted
   * @throws StoreFault where one is there and may not, or a server still has it open
   */
  putBack(file: string, replacing: boolean): Promise<void>;
}

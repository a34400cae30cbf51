import type { PairId } from '../../domain/ids.ts';
import type { Connection } from './connection.ts';

/** What the parts of the ledger work with that are read in later. */
export interface SharedStore {
  readonly connection: Connection;
  /** Tells every window. */
  readonly changed: (pairs: readonly PairId[]) => void;
}

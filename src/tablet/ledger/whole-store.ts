/** A transaction over all that the ledger's records stand in. */
import type { IDBPTransaction } from 'idb';
import type { LedgerSchema } from './migrations.ts';

export const EVERYTHING = ['records', 'outbox', 'packs', 'settings'] as const;
export type Writing = IDBPTransaction<LedgerSchema, typeof EVERYTHING, 'readwrite'>;
export type Reading = IDBPTransaction<LedgerSchema, typeof EVERYTHING, IDBTransactionMode>;

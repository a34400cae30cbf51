/**
 * The tablet's store and how it came to be. Migrations only ever add: the version before must still be able to
 * work on the store (a rolled-back app keeps its outbox), so nothing is renamed, removed or given another meaning.
 * To change the store, append a migration; the number of migrations is the store's version.
 */
import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from 'idb';
import type { RecordRow } from './record-row.ts';

export interface OutboxRow {
  readonly bench: string;
  readonly seq: number;
  readonly id: string;
  readonly at: number;
  readonly state: 'waiting' | 'refused';
  readonly reasons: readonly string[];
}

export interface LedgerSchema extends DBSchema {
  /** Everybody's records, kept as they came. */
  records: {
    key: string;
    value: RecordRow;
    indexes: { pair: string; 'bench-seq': [string, number]; 'bench-at': [string, number] };
  };
  /** What the server has not confirmed; a row goes only by its word. */
  outbox: {
    key: [string, number];
    value: OutboxRow;
    indexes: { 'state-seq': [string, string, number] };
  };
  /** One row a setting. */
  settings: { key: string; value: unknown };
}

export type Database = IDBPDatabase<LedgerSchema>;
type Upgrade = IDBPTransaction<LedgerSchema, StoreNames<LedgerSchema>[], 'versionchange'>;
export type Migration = (database: Database, upgrade: Upgrade) => void;

export const MIGRATIONS: readonly Migration[] = [
  function recordsOutboxSettings(database) {
    const records = database.createObjectStore('records', { keyPath: 'id' });
    records.createIndex('pair', 'pair');
    records.createIndex('bench-seq', ['bench', 'seq']);
    records.createIndex('bench-at', ['bench', 'at']);
    // By bench too: a tablet that was enrolled anew may still hold what its former bench could not send.
    const outbox = database.createObjectStore('outbox', { keyPath: ['bench', 'seq'] });
    outbox.createIndex('state-seq', ['state', 'bench', 'seq']);
    database.createObjectStore('settings');
  },
];

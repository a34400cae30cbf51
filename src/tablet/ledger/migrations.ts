/**
 * The tablet's store and how it came to be. Migrations only ever add: the version before must still be able to
 * work on the store (a rolled-back app keeps its outbox), so nothing is renamed, removed or given another meaning.
 * To change the store, append a migration; the number of migrations is the store's version.
 */
import type { DBSchema, IDBPDatabase, IDBPObjectStore, IDBPTransaction, StoreNames } from 'idb';
import { CURSOR_START } from '../../domain/cursor.ts';
import type { PhotoType } from '../../wire/photo.ts';
import type { PackRow } from './packs.ts';
import { type RecordRow, withThing } from './record-row.ts';

export interface OutboxRow {
  readonly bench: string;
  readonly seq: number;
  readonly id: string;
  readonly at: number;
  readonly state: 'waiting' | 'refused';
  readonly reasons: readonly string[];
}

export interface PhotoRow {
  /** SHA-256 of the bytes. */
  readonly photo: string;
  readonly type: PhotoType;
  readonly bytes: number;
  readonly body: ArrayBuffer;
  readonly at: number;
  readonly state: 'waiting' | 'at-server' | 'refused';
  /** Of the server's ledger that took it from here; empty where it took none from here. */
  readonly epoch: string;
  readonly reasons: readonly string[];
}

export interface LedgerSchema extends DBSchema {
  /** Everybody's records, kept as they came. */
  records: {
    key: string;
    value: RecordRow;
    indexes: { pair: string; thing: string; 'bench-seq': [string, number]; 'bench-at': [string, number] };
  };
  /** Pairs that came whole from the server: see `packs.ts`. */
  packs: { key: string; value: PackRow; indexes: { thing: string } };
  /** What the server has not confirmed; a row goes only by its word. */
  outbox: {
    key: [string, number];
    value: OutboxRow;
    indexes: { 'state-seq': [string, string, number] };
  };
  /** One row a setting. */
  settings: { key: string; value: unknown };
  /** Photographs, taken here or fetched. */
  photos: {
    key: string;
    value: PhotoRow;
    indexes: { 'state-at': [string, number, number, string] };
  };
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

  function photosAndThings(database, upgrade) {
    const photos = database.createObjectStore('photos', { keyPath: 'photo' });
    // Bytes and epoch too, so that sums and comparisons are made without reading a photograph.
    photos.createIndex('state-at', ['state', 'at', 'bytes', 'epoch']);
    upgrade.objectStore('records').createIndex('thing', 'thing');
    // Kinds about things were pulled and kept raw by versions that did not know them.
    findAll(upgrade).catch(() => undo(upgrade));
  },

  function packs(database) {
    const packs = database.createObjectStore('packs', { keyPath: 'pair' });
    packs.createIndex('thing', 'things', { multiEntry: true });
  },
];

/** How many rows are looked at in one request. */
const ROWS_AT_ONCE = 1_000;

/** Among the settings: the cursor up to which every row that was pulled has its thing. */
export const THINGS_FOUND = 'things-found';

/**
 * Gives rows that lack it the thing that their record is about. Awaits nothing but requests of its own transaction.
 * @param after the id to go on after, null to begin
 * @returns the id to go on after, null at the end
 */
export async function findThings(
  records: IDBPObjectStore<
    LedgerSchema,
    ArrayLike<StoreNames<LedgerSchema>>,
    'records',
    'readwrite' | 'versionchange'
  >,
  after: string | null,
): Promise<string | null> {
  const range = after === null ? null : IDBKeyRange.lowerBound(after, true);
  const rows = await records.getAll(range, ROWS_AT_ONCE);
  await Promise.all(rows.flatMap(withThing).map((row) => records.put(row)));
  return rows.at(-1)?.id ?? null;
}

async function findAll(upgrade: Upgrade): Promise<void> {
  const records = upgrade.objectStore('records');
  const settings = upgrade.objectStore('settings');
  let after = await findThings(records, null);
  while (after !== null) after = await findThings(records, after);
  await settings.put((await settings.get('cursor')) ?? CURSOR_START, THINGS_FOUND);
}

/** What could not be done whole is not done: the store stays in its version. */
function undo(upgrade: Upgrade): void {
  try {
    upgrade.abort();
  } catch {
    // The browser has aborted it already; opening tells why.
  }
}

/** Opens the ledger where the settings say that it is. */
import { setImmediate } from 'node:timers/promises';
import { openPostgresLedger } from './postgres.ts';
import { placeOf, type SessionName } from './postgres-connection.ts';
import type { SqlLedger } from './sql-ledger.ts';
import { openSqliteLedger } from './sqlite.ts';

export type Store =
  | { readonly is: 'sqlite'; readonly file: string }
  | { readonly is: 'postgres'; readonly url: string };

/** @throws StoreFault when it cannot be used as it stands */
export function openLedger(store: Store, name: SessionName): Promise<SqlLedger> {
  if (store.is === 'postgres') return openPostgresLedger(store.url, name);
  return openSqliteLedger(store.file, name === 'waxend server' ? setImmediate : null);
}

/** Where the ledger is, in words, and without a password. */
export function nameOf(store: Store): string {
  return store.is === 'sqlite' ? store.file : placeOf(store.url);
}

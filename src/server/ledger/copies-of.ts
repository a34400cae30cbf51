/** How a ledger is copied, by where it is. */
import type { Store } from './open-ledger.ts';
import { PostgresCopies } from './postgres-copies.ts';
import { SqliteCopies } from './sqlite-copies.ts';
import type { StoreCopies } from './store-copies.ts';

export function copiesOf(store: Store): StoreCopies {
  return store.is === 'sqlite' ? new SqliteCopies(store.file) : new PostgresCopies(store.url);
}

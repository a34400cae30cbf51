/** What the server's ledger says of pairs, read with SQLite's own program and folded. */
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import type { PairId } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { siteBookSchema } from '../../src/domain/site-book.ts';
import { type Whereabouts, whereaboutsOf } from '../../src/domain/whereabouts.ts';
import { EPOCH } from './builders.ts';
import { query } from './sqlite-client.ts';

/** The last position of the ledger. */
export async function headOf(file: string): Promise<number> {
  const [row] = await query(file, 'select coalesce(max(pos), 0) as head from records');
  return Number(row?.head);
}

export async function bookIn(file: string): Promise<SiteBook> {
  const [row] = await query(file, 'select book from site_books');
  return siteBookSchema.parse(JSON.parse(String(row?.book)));
}

export async function recordsOfPair(file: string, pair: PairId): Promise<readonly LedgerRecord[]> {
  const rows = await query(file, `select json from records where pair = '${pair}' order by pos`);
  return rows.map(({ json }) => JSON.parse(String(json)) as LedgerRecord);
}

/** Each pair's state by the server's records. */
export async function statesIn(
  file: string,
  pairs: readonly PairId[],
): Promise<ReadonlyMap<PairId, PairState>> {
  const rows = await query(
    file,
    `select pos, pair, json from records where pair in (${pairs.map((pair) => `'${pair}'`).join(', ')})`,
  );
  const placed = (of: PairId): readonly Placed[] =>
    rows
      .filter(({ pair }) => pair === of)
      .map(({ pos, json }) => ({ record: JSON.parse(String(json)), pos: Number(pos), epoch: EPOCH }));
  return new Map(pairs.map((pair) => [pair, foldPair(pair, placed(pair))]));
}

export async function whereaboutsIn(
  file: string,
  book: SiteBook,
  pairs: readonly PairId[],
): Promise<ReadonlyMap<PairId, Whereabouts>> {
  const states = await statesIn(file, pairs);
  return new Map([...states].map(([pair, state]) => [pair, whereaboutsOf(state, book, Date.now())]));
}

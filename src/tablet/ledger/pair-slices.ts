/** Reading every pair of the store, a slice at a time. */
import { asPairId, type PairId } from '../../domain/ids.ts';
import type { Connection } from './connection.ts';
import type { PairRecords } from './ledger.ts';
import { placedOf, type RecordRow } from './record-row.ts';

/** Read and checked in some milliseconds. */
const ROWS_AT_ONCE = 400;

/** A transaction a slice: none stays open while the reader is busy with what it got. */
export async function* pairsIn(
  connection: Connection,
  rowsAtOnce = ROWS_AT_ONCE,
): AsyncGenerator<readonly PairRecords[]> {
  let after: string | null = null;
  for (;;) {
    const from: string | null = after;
    const rows: readonly RecordRow[] = await connection.read(['records'], async (reading) => {
      const index = reading.objectStore('records').index('pair');
      const found = await index.getAll(from === null ? null : IDBKeyRange.lowerBound(from, true), rowsAtOnce);
      const last = found.at(-1)?.pair ?? null;
      if (found.length < rowsAtOnce || last === null) return found;
      // The slice may have cut its last pair: that one is read whole.
      return [...found.filter(({ pair }) => pair !== last), ...(await index.getAll(last))];
    });
    if (rows.length === 0) return;
    after = rows.at(-1)?.pair ?? null;
    yield byPair(rows);
  }
}

function byPair(rows: readonly RecordRow[]): readonly PairRecords[] {
  const pairs = new Map<PairId, RecordRow[]>();
  for (const row of rows) {
    if (row.pair === null) continue;
    const pair = asPairId(row.pair);
    const held = pairs.get(pair);
    if (held === undefined) pairs.set(pair, [row]);
    else held.push(row);
  }
  return [...pairs].map(([pair, held]) => ({ pair, placed: held.flatMap(placedOf) }));
}

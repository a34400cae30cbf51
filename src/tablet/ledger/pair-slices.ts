/** Reading every pair of the store, a slice at a time. */
import { asPairId } from '../../domain/ids.ts';
import type { Connection } from './connection.ts';
import type { PairRecords } from './ledger.ts';
import { packs } from './packing-store.ts';
import { allHeld, type PackRow } from './packs.ts';
import type { RecordRow } from './record-row.ts';
import { EVERYTHING, type Reading } from './whole-store.ts';

/** Read and checked in some milliseconds. */
const ROWS_AT_ONCE = 400;

/** About as many records. */
const PACKS_AT_ONCE = 12;

interface Slice {
  readonly rows: readonly RecordRow[];
  readonly packs: readonly PackRow[];
  /** The last pair that stands whole in it; null at the end of the store. */
  readonly upTo: string | null;
}

/** A transaction a slice: none stays open while the reader is busy with what it got. */
export async function* pairsIn(
  connection: Connection,
  rowsAtOnce = ROWS_AT_ONCE,
): AsyncGenerator<readonly PairRecords[]> {
  let after: string | null = null;
  do {
    const from: string | null = after;
    const slice: Slice = await connection.read(EVERYTHING, (reading) =>
      sliceAfter(reading, from, rowsAtOnce),
    );
    const pairs = byPair(slice);
    if (pairs.length > 0) yield pairs;
    after = slice.upTo;
  } while (after !== null);
}

async function sliceAfter(reading: Reading, after: string | null, rowsAtOnce: number): Promise<Slice> {
  const range = after === null ? null : IDBKeyRange.lowerBound(after, true);
  const index = reading.objectStore('records').index('pair');
  const [rows, packed] = await Promise.all([index.getAll(range, rowsAtOnce), packs(reading)]);
  const some = packed ? await reading.objectStore('packs').getAll(range, PACKS_AT_ONCE) : [];
  const cutAt = [
    ...(rows.length < rowsAtOnce ? [] : [rows.at(-1)?.pair ?? null]),
    ...(some.length < PACKS_AT_ONCE ? [] : [some.at(-1)?.pair ?? null]),
  ].flatMap((pair) => (pair === null ? [] : [pair]));
  const [upTo = null] = cutAt.sort();
  if (upTo === null) return { rows, packs: some, upTo };
  // The slice may have cut its last pair: that one is read whole.
  const whole = rows.filter(({ pair }) => pair !== null && pair < upTo);
  return {
    rows: [...whole, ...(await index.getAll(upTo))],
    packs: some.filter(({ pair }) => pair <= upTo),
    upTo,
  };
}

function byPair({ rows, packs }: Slice): readonly PairRecords[] {
  const packOf = new Map(packs.map((pack) => [pack.pair, pack]));
  const rowsOf = new Map<string, RecordRow[]>(packs.map(({ pair }) => [pair, []]));
  for (const row of rows) {
    if (row.pair === null) continue;
    const some = rowsOf.get(row.pair);
    if (some === undefined) rowsOf.set(row.pair, [row]);
    else some.push(row);
  }
  return [...rowsOf].map(([pair, some]) => {
    const pack = packOf.get(pair);
    return { pair: asPairId(pair), placed: allHeld(some, pack === undefined ? [] : [pack]) };
  });
}

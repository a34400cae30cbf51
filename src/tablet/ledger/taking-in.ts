/** Taking what the server hands out into the store, within one transaction: as packs where it can be, else as rows. */
import { CURSOR_START } from '../../domain/cursor.ts';
import { asPairId, type PairId } from '../../domain/ids.ts';
import type { Pulled } from './ledger.ts';
import { ownBench } from './own-bench.ts';
import { packOf, sortedForPacks, withMore } from './packing.ts';
import { cursorIn, packs } from './packing-store.ts';
import type { PackRow } from './packs.ts';
import { pairsOf, type RecordRow, rowOfPulled } from './record-row.ts';
import { PACKED } from './settings-rows.ts';
import type { Writing } from './whole-store.ts';

export interface Taken {
  readonly pairs: readonly PairId[];
  /** False where everything was held in its place already. */
  readonly some: boolean;
}

/** A store that has read nothing in packs from now on. One that holds pairs by their rows goes on as it is. */
export async function beginPacking(writing: Writing): Promise<void> {
  if (await packs(writing)) return;
  const settings = writing.objectStore('settings');
  const [own, cursor, readIn] = await Promise.all([
    ownBench(writing),
    cursorIn(writing),
    settings.get('readIn'),
  ]);
  if (own === null || cursor !== CURSOR_START || readIn === true) return;
  await Promise.all([writing.objectStore('packs').clear(), settings.put(CURSOR_START, PACKED.cursor)]);
}

export async function takeIn(writing: Writing, pulled: readonly Pulled[], epoch: string): Promise<Taken> {
  const own = (await packs(writing)) ? await ownBench(writing) : null;
  if (own === null) return takeRows(writing, pulled, epoch);
  const { byPair, alone } = sortedForPacks(pulled, own);
  const held = await heldOf(writing, [...byPair.keys()]);
  const [toPack, asRows] = [[] as PackRow[], [...alone]];
  for (const [pair, some] of byPair) {
    const { pack, rows } = held.get(pair) ?? NOTHING;
    if (pack === undefined && rows > 0) asRows.push(...some);
    else if (pack === undefined) toPack.push(packOf(pair, some, epoch));
    else {
      const inRows = rows === 0 ? NONE : await idsInRows(writing, pair);
      const isRow = ({ record }: Pulled) => inRows.has((record as { readonly id: string }).id);
      asRows.push(...some.filter(isRow));
      const more = withMore(
        pack,
        some.filter((one) => !isRow(one)),
        epoch,
      );
      if (more !== null) toPack.push(more);
    }
  }
  await Promise.all(toPack.map((pack) => writing.objectStore('packs').put(pack)));
  const rows = await takeRows(writing, asRows, epoch);
  const pairs = new Set([...toPack.map(({ pair }) => asPairId(pair)), ...rows.pairs]);
  return { pairs: [...pairs], some: rows.some || toPack.length > 0 };
}

const NOTHING = { pack: undefined, rows: 0 };
const NONE: ReadonlySet<string> = new Set();

/** The pack of each pair, and how many rows there are of it. */
async function heldOf(
  writing: Writing,
  pairs: readonly PairId[],
): Promise<ReadonlyMap<PairId, { readonly pack: PackRow | undefined; readonly rows: number }>> {
  const sorted = [...pairs].sort();
  const [first, last] = [sorted[0], sorted.at(-1)];
  if (first === undefined || last === undefined) return new Map();
  const [packsHere, rowsByPair] = [
    writing.objectStore('packs'),
    writing.objectStore('records').index('pair'),
  ];
  // A page of a snapshot holds neighbours: where nothing lies between its first and its last, each need not be asked for.
  const between = IDBKeyRange.bound(first, last);
  const [anyPack, anyRow] = await Promise.all([packsHere.count(between), rowsByPair.count(between)]);
  return new Map(
    await Promise.all(
      pairs.map(async (pair) => {
        const [pack, rows] = await Promise.all([
          anyPack === 0 ? undefined : packsHere.get(pair),
          anyRow === 0 ? 0 : rowsByPair.count(pair),
        ]);
        return [pair, { pack, rows }] as const;
      }),
    ),
  );
}

async function idsInRows(writing: Writing, pair: PairId): Promise<ReadonlySet<string>> {
  return new Set(await writing.objectStore('records').index('pair').getAllKeys(pair));
}

async function takeRows(writing: Writing, pulled: readonly Pulled[], epoch: string): Promise<Taken> {
  const records = writing.objectStore('records');
  const rows = firstOfEach(pulled.map(({ pos, record }) => rowOfPulled(record, { pos, epoch })));
  const held = await Promise.all(rows.map(({ id }) => records.get(id)));
  const changed = rows.flatMap((row, index) => placeIn(held[index], row));
  await Promise.all(changed.map((row) => records.put(row)));
  return { pairs: pairsOf(changed), some: changed.length > 0 };
}

/** A record already held gets its place and keeps its content. */
function placeIn(held: RecordRow | undefined, row: RecordRow): readonly RecordRow[] {
  if (held === undefined) return [row];
  const { pos, epoch } = row;
  return held.pos === pos && held.epoch === epoch ? [] : [{ ...held, pos, epoch }];
}

function firstOfEach(rows: readonly RecordRow[]): readonly RecordRow[] {
  const byId = new Map<string, RecordRow>();
  for (const row of rows) if (!byId.has(row.id)) byId.set(row.id, row);
  return [...byId.values()];
}

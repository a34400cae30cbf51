/** What comes from the server into the store. Read in when it is first asked for: a bench scans without it. */
import { placeOf } from '../../domain/cursor.ts';
import type { BenchId, Cursor, PairId } from '../../domain/ids.ts';
import type { Pulled } from './ledger.ts';
import { EVERYTHING, nextSeq, ofBench, usedKey } from './making.ts';
import { type OutboxRow, THINGS_FOUND } from './migrations.ts';
import { pairsOf, type RecordRow, rowOfPulled } from './record-row.ts';
import { cursorFrom } from './settings-rows.ts';
import type { SharedStore } from './shared-store.ts';

/** As `TabletLedger.apply`. */
export async function apply(
  { connection, changed: tell }: SharedStore,
  pulled: readonly Pulled[],
  cursor: Cursor,
): Promise<readonly PairId[]> {
  const epoch = placeOf(cursor)?.epoch;
  if (epoch === undefined) {
    if (pulled.length > 0) throw new RangeError('pulled records came with a cursor that names no place');
    return [];
  }
  const rows = rowsOf(pulled, epoch);
  const { changed, moved } = await connection.write(['records', 'settings'], async (writing) => {
    const records = writing.objectStore('records');
    const settings = writing.objectStore('settings');
    const held = await Promise.all(rows.map(({ id }) => records.get(id)));
    const changed = rows.flatMap((row, index) => placeIn(held[index], row));
    const before = cursorFrom(await settings.get('cursor'));
    const after = further(before, cursor);
    if ((await settings.get(THINGS_FOUND)) === before) await settings.put(after, THINGS_FOUND);
    await Promise.all([
      ...changed.map((row) => records.put(row)),
      settings.put(after, 'cursor'),
      settings.put(epoch, 'epoch'),
    ]);
    return { changed, moved: before !== after };
  });
  const pairs = pairsOf(changed);
  if (changed.length > 0 || moved) tell(pairs);
  return pairs;
}

/** As `TabletLedger.place`. */
export async function place(
  { connection, changed: tell }: SharedStore,
  pulled: readonly Pulled[],
  epoch: string,
): Promise<readonly PairId[]> {
  if (pulled.length === 0) return [];
  const rows = rowsOf(pulled, epoch);
  const pairsHere = [...new Set(rows.map(({ pair }) => pair))];
  const changed = await connection.write(['records'], async (writing) => {
    const records = writing.objectStore('records');
    // Asked by pair: a new tablet holds none of them, and to ask for each row would take as long as to write it.
    const counts = await Promise.all(
      pairsHere.map((pair) => (pair === null ? 1 : records.index('pair').count(pair))),
    );
    const empty = new Set(pairsHere.filter((_, index) => counts[index] === 0));
    const held = await Promise.all(
      rows.map(({ id, pair }) => (empty.has(pair) ? undefined : records.get(id))),
    );
    const changed = rows.flatMap((row, index) => placeIn(held[index], row));
    await Promise.all(changed.map((row) => records.put(row)));
    return changed;
  });
  const pairs = pairsOf(changed);
  if (changed.length > 0) tell(pairs);
  return pairs;
}

/** As `TabletLedger.notHeld`. */
export async function notHeld(
  { connection }: SharedStore,
  pairs: readonly PairId[],
  epoch: string,
): Promise<readonly PairId[]> {
  const asked = [...new Set(pairs)];
  const held = await connection.read(['records'], (reading) => {
    const index = reading.objectStore('records').index('pair');
    return Promise.all(
      asked.map(async (pair) => {
        // The oldest record nearly always tells.
        if ((await index.get(pair))?.epoch === epoch) return true;
        return (await index.getAll(pair)).some((row) => row.epoch === epoch);
      }),
    );
  });
  return asked.filter((_, at) => held[at] !== true);
}

/** As `TabletLedger.serverHolds`. */
export async function serverHolds(
  { connection, changed }: SharedStore,
  bench: BenchId,
  epoch: string,
  heldSeq: number,
): Promise<number> {
  const above = IDBKeyRange.bound([bench, heldSeq], [bench, Infinity], true);
  const asExpected = await connection.read(EVERYTHING, async (reading) => {
    const [made, kept, next, compared] = await Promise.all([
      reading.objectStore('records').index('bench-seq').count(above),
      reading.objectStore('outbox').count(above),
      nextSeq(reading, bench),
      reading.objectStore('settings').get(comparedKey(bench)),
    ]);
    return made === kept && next > heldSeq && compared === epoch;
  });
  if (asExpected) return 0;
  const again = await connection.write(EVERYTHING, async (writing) => {
    const settings = writing.objectStore('settings');
    const outbox = writing.objectStore('outbox');
    if ((await nextSeq(writing, bench)) <= heldSeq) await settings.put(heldSeq, usedKey(bench));
    const [rows, entries] = await Promise.all([
      writing.objectStore('records').index('bench-seq').getAll(ofBench(bench)),
      outbox.getAll(ofBench(bench)),
    ]);
    const taken = new Map(entries.map(({ seq, id }) => [seq, id]));
    const lost = rows
      .filter((row) => row.epoch !== epoch || (row.seq ?? 0) > heldSeq)
      .flatMap(entryOfRow)
      .filter(({ seq, id }) => taken.get(seq) !== id);
    // Two records may have one number, where this tablet was set back or copied whole, and the outbox has one place
    // for each number: they go one after the other.
    const offered = lost.filter(({ seq, id }) => {
      if (!taken.has(seq)) taken.set(seq, id);
      return taken.get(seq) === id;
    });
    const all = offered.length === lost.length;
    await Promise.all([
      ...offered.map((entry) => outbox.add(entry)),
      ...(all ? [settings.put(epoch, comparedKey(bench))] : []),
    ]);
    return offered.length;
  });
  if (again > 0) changed([]);
  return again;
}

/** A private row of the ledger among the settings: the epoch with which the bench's records were last compared. */
function comparedKey(bench: BenchId): string {
  return `compared-epoch ${bench}`;
}

function entryOfRow({ bench, seq, id, at }: RecordRow): readonly OutboxRow[] {
  if (bench === null || seq === null || at === null) return [];
  return [{ bench, seq, id, at, state: 'waiting', reasons: [] }];
}

function rowsOf(pulled: readonly Pulled[], epoch: string): readonly RecordRow[] {
  return firstOfEach(pulled.map(({ pos, record }) => rowOfPulled(record, { pos, epoch })));
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

/** Two windows may pull at once: a page that comes late must not take the cursor back. */
function further(before: Cursor, after: Cursor): Cursor {
  const [from, to] = [placeOf(before), placeOf(after)];
  return from !== null && to !== null && from.epoch === to.epoch && from.pos > to.pos ? before : after;
}

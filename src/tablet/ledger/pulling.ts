/** What comes from the server into the store. Read in when it is first asked for: a bench scans without it. */
import { placeOf } from '../../domain/cursor.ts';
import type { BenchId, Cursor, PairId } from '../../domain/ids.ts';
import type { Pulled } from './ledger.ts';
import { nextSeq, ofBench, usedKey } from './making.ts';
import { type OutboxRow, THINGS_FOUND } from './migrations.ts';
import { cursorIn, packs, settingKey } from './packing-store.ts';
import type { RecordRow } from './record-row.ts';
import type { SharedStore } from './shared-store.ts';
import { beginPacking, takeIn } from './taking-in.ts';
import { EVERYTHING } from './whole-store.ts';

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
  const { changed, moved } = await connection.write(EVERYTHING, async (writing) => {
    const settings = writing.objectStore('settings');
    const changed = await takeIn(writing, pulled, epoch);
    const [before, key, found] = await Promise.all([
      cursorIn(writing),
      settingKey(writing, 'cursor'),
      settings.get(THINGS_FOUND),
    ]);
    const after = further(before, cursor);
    // The mark is held against the cursor of an app of before packs: only that one leaves things out.
    if (key === 'cursor' && found === before) await settings.put(after, THINGS_FOUND);
    await Promise.all([settings.put(after, key), settings.put(epoch, 'epoch')]);
    return { changed, moved: before !== after };
  });
  if (changed.some || moved) tell(changed.pairs);
  return changed.pairs;
}

/** As `TabletLedger.place`. */
export async function place(
  { connection, changed: tell }: SharedStore,
  pulled: readonly Pulled[],
  epoch: string,
): Promise<readonly PairId[]> {
  if (pulled.length === 0) return [];
  const changed = await connection.write(EVERYTHING, async (writing) => {
    await beginPacking(writing);
    return takeIn(writing, pulled, epoch);
  });
  if (changed.some) tell(changed.pairs);
  return changed.pairs;
}

/** As `TabletLedger.notHeld`. */
export async function notHeld(
  { connection }: SharedStore,
  pairs: readonly PairId[],
  epoch: string,
): Promise<readonly PairId[]> {
  const asked = [...new Set(pairs)];
  const held = await connection.read(EVERYTHING, async (reading) => {
    const index = reading.objectStore('records').index('pair');
    const packed = await packs(reading);
    return Promise.all(
      asked.map(async (pair) => {
        const pack = packed ? await reading.objectStore('packs').get(pair) : undefined;
        if (pack?.parts.some((part) => part.epoch === epoch) === true) return true;
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

/** Two windows may pull at once: a page that comes late must not take the cursor back. */
function further(before: Cursor, after: Cursor): Cursor {
  const [from, to] = [placeOf(before), placeOf(after)];
  return from !== null && to !== null && from.epoch === to.epoch && from.pos > to.pos ? before : after;
}

/**
 * The outbox as the sync loop works it: what waits, and what becomes of it by the server's word. A tablet that comes back
 * after weeks goes through it two hundred at a time, so neighbours are read and taken out together.
 */
import type { RecordId } from '../../domain/ids.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import type { Connection } from './connection.ts';
import type { OutboxRow } from './migrations.ts';
import type { RecordRow } from './record-row.ts';
import { EVERYTHING, type Reading, type Writing } from './whole-store.ts';

export interface RefusedRecord {
  readonly id: RecordId;
  readonly reasons: readonly string[];
}

/** As `TabletLedger.waiting`. */
export async function waitingIn(connection: Connection, limit: number): Promise<readonly LedgerRecord[]> {
  const rows = await connection.read(EVERYTHING, async (reading) => {
    const entries = await oldest(reading, limit);
    const near = await rowsNear(reading, entries);
    return Promise.all(entries.map(({ id }) => near.get(id) ?? reading.objectStore('records').get(id)));
  });
  // As it was made, not as this version reads it: a rolled-back app still sends what a newer one recorded.
  return rows.flatMap((row) => (row === undefined ? [] : [row.raw as LedgerRecord]));
}

/** As `TabletLedger.confirm`. */
export function confirmIn(connection: Connection, ids: readonly RecordId[]): Promise<void> {
  return connection.write(EVERYTHING, async (writing) => {
    const outbox = writing.objectStore('outbox');
    const entries = await entriesOf(writing, ids);
    await Promise.all(runsOf(entries).map(([first, last]) => outbox.delete(between(first, last))));
  });
}

/** As `TabletLedger.refuse`. */
export function refuseIn(connection: Connection, refused: readonly RefusedRecord[]): Promise<void> {
  const reasonsOf = new Map<string, readonly string[]>(refused.map(({ id, reasons }) => [id, reasons]));
  return connection.write(EVERYTHING, async (writing) => {
    const outbox = writing.objectStore('outbox');
    const entries = await entriesOf(writing, [...reasonsOf.keys()]);
    const told = entries.map(
      (entry): OutboxRow => ({ ...entry, state: 'refused', reasons: [...(reasonsOf.get(entry.id) ?? [])] }),
    );
    await Promise.all(told.map((entry) => outbox.put(entry)));
  });
}

function oldest(reading: Reading, limit: number): Promise<OutboxRow[]> {
  const waiting = IDBKeyRange.bound(['waiting'], ['waiting', []]);
  return reading.objectStore('outbox').index('state-seq').getAll(waiting, limit);
}

/** The outbox entries of these records; a record without one is settled already. Most are the oldest that wait. */
async function entriesOf(writing: Writing, ids: readonly string[]): Promise<readonly OutboxRow[]> {
  const wanted = new Set(ids);
  const found = (await oldest(writing, ids.length)).filter(({ id }) => wanted.has(id));
  for (const { id } of found) wanted.delete(id);
  const others = await Promise.all([...wanted].map((id) => entryOf(writing, id)));
  return [...found, ...others.flatMap((entry) => (entry === undefined ? [] : [entry]))];
}

async function entryOf(writing: Writing, id: string): Promise<OutboxRow | undefined> {
  const row = await writing.objectStore('records').get(id);
  if (row === undefined || row.bench === null || row.seq === null) return undefined;
  const entry = await writing.objectStore('outbox').get([row.bench, row.seq]);
  // Two records may have one number, and the word was for one of them.
  return entry?.id === id ? entry : undefined;
}

/** The rows of entries that are neighbours, read in one go; those that are not are left to be read by their ids. */
async function rowsNear(
  reading: Reading,
  entries: readonly OutboxRow[],
): Promise<ReadonlyMap<string, RecordRow>> {
  const [first, last] = [entries[0], entries.at(-1)];
  const far =
    first === undefined ||
    last === undefined ||
    first.bench !== last.bench ||
    last.seq - first.seq >= 2 * entries.length;
  if (far) return new Map();
  const rows = await reading.objectStore('records').index('bench-seq').getAll(between(first, last));
  return new Map(rows.map((row) => [row.id, row]));
}

/** Entries whose numbers follow each other, by the first and the last of each run. */
function runsOf(entries: readonly OutboxRow[]): readonly (readonly [OutboxRow, OutboxRow])[] {
  const runs: [OutboxRow, OutboxRow][] = [];
  for (const entry of entries) {
    const run = runs.at(-1);
    if (run !== undefined && run[1].bench === entry.bench && run[1].seq + 1 === entry.seq) run[1] = entry;
    else runs.push([entry, entry]);
  }
  return runs;
}

function between(first: OutboxRow, last: OutboxRow): IDBKeyRange {
  return IDBKeyRange.bound([first.bench, first.seq], [last.bench, last.seq]);
}

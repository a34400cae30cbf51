/** Making records within one transaction: each gets the next number of its bench. */
import type { BenchId } from '../../domain/ids.ts';
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';
import type { OutboxRow } from './migrations.ts';
import { cursorIn } from './packing-store.ts';
import { placedOf, rowOfRecord } from './record-row.ts';
import type { Reading, Writing } from './whole-store.ts';

export function mustBeReadable(draft: Draft): void {
  const read = readRecord({ ...draft, seq: 1, seen: '' });
  if (read.is === 'bad') throw new RangeError(`draft ${draft.id} is no record: ${read.reasons.join('; ')}`);
  if (read.is === 'newer') throw new RangeError(`draft ${draft.id} has a kind or version nobody knows here`);
}

export async function heldAlready(writing: Writing, { id }: Draft): Promise<LedgerRecord | null> {
  const row = await writing.objectStore('records').get(id);
  const [held] = row === undefined ? [] : placedOf(row);
  return held?.record ?? null;
}

export async function add(writing: Writing, draft: Draft): Promise<LedgerRecord> {
  const seen = await cursorIn(writing);
  const record = { ...draft, seq: await nextSeq(writing, draft.bench), seen } as LedgerRecord;
  await Promise.all([
    writing.objectStore('records').add(rowOfRecord(record)),
    writing.objectStore('outbox').add(entryOf(record)),
  ]);
  return record;
}

/** The number after the bench's last, by its records and by what the server has said it holds. */
export async function nextSeq(transaction: Reading, bench: BenchId): Promise<number> {
  const [last, used] = await Promise.all([
    transaction.objectStore('records').index('bench-seq').openKeyCursor(ofBench(bench), 'prev'),
    transaction.objectStore('settings').get(usedKey(bench)),
  ]);
  return Math.max(last?.key[1] ?? 0, typeof used === 'number' ? used : 0) + 1;
}

/** A private row of the ledger among the settings: the highest number of the bench that is known to have been used. */
export function usedKey(bench: BenchId): string {
  return `used-seq ${bench}`;
}

export function ofBench(bench: BenchId): IDBKeyRange {
  return IDBKeyRange.bound([bench, 0], [bench, Infinity]);
}

function entryOf({ bench, seq, id, at }: LedgerRecord): OutboxRow {
  return { bench, seq, id, at, state: 'waiting', reasons: [] };
}

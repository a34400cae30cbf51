/** Making records within one transaction: each gets the next number of its bench. */
import type { IDBPTransaction } from 'idb';
import { issueTicket } from '../../domain/code.ts';
import type { BenchId, PairId } from '../../domain/ids.ts';
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';
import type { LedgerSchema, OutboxRow } from './migrations.ts';
import { placedOf, rowOfRecord } from './record-row.ts';
import { cursorFrom } from './settings-rows.ts';

export const EVERYTHING = ['records', 'outbox', 'settings'] as const;
export type Writing = IDBPTransaction<LedgerSchema, typeof EVERYTHING, 'readwrite'>;

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
  const seen = cursorFrom(await writing.objectStore('settings').get('cursor'));
  const record = { ...draft, seq: await nextSeq(writing, draft.bench), seen } as LedgerRecord;
  await Promise.all([
    writing.objectStore('records').add(rowOfRecord(record)),
    writing.objectStore('outbox').add(entryOf(record)),
  ]);
  return record;
}

/** The lane's next number that no record is about; null where it has none left. */
export async function freeTicket(
  writing: Writing,
  { lane, counter }: { readonly lane: number; readonly counter: number },
): Promise<{ readonly pair: PairId; readonly next: number } | null> {
  const pairs = writing.objectStore('records').index('pair');
  for (let next = counter; ; ) {
    const issued = ticketOrNull(lane, next);
    if (issued === null || (await pairs.getKey(issued.pair)) === undefined) return issued;
    next = issued.next;
  }
}

function ticketOrNull(lane: number, counter: number) {
  try {
    return issueTicket(lane, counter);
  } catch (cause) {
    if (cause instanceof RangeError) return null;
    throw cause;
  }
}

/** The number after the bench's last, by its records and by what the server has said it holds. */
export async function nextSeq(
  transaction: IDBPTransaction<LedgerSchema, typeof EVERYTHING, IDBTransactionMode>,
  bench: BenchId,
): Promise<number> {
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

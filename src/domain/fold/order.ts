/**
 * The order of the records of one pair: the same on every machine that holds the same records, whatever the
 * order in which they arrived.
 *
 * 1. A bench's own records follow its `seq`.
 * 2. A record never stands before one that it names, nor before one that its tablet had already seen (`seen`
 *    against the server's position; after a restored backup those cannot be compared, and only the names are left).
 * 3. Otherwise the corrected instants decide; ties go by bench, then `seq`, then id.
 *
 * No hybrid clock: one tablet with its clock in the future would drag all the others with it. Where an instant
 * contradicts rules 1 or 2 the record is kept where the rules put it, and is doubtful.
 */
import { placeOf } from '../cursor.ts';
import type { RecordId } from '../ids.ts';
import type { LedgerRecord } from '../record/kinds.ts';

/** A record and where the server's ledger holds it; null while only this tablet does. */
export interface Placed {
  readonly record: LedgerRecord;
  readonly pos: number | null;
  readonly epoch: string | null;
}

export interface Ordered {
  readonly record: LedgerRecord;
  /** Its clock contradicts what must have gone before it. */
  readonly clockDoubtful: boolean;
}

/** Orders the records of one pair. O(n³) where all clocks contradict, and a pair has some dozens of records. */
export function inOrder(placed: readonly Placed[]): readonly Ordered[] {
  const waiting = uniqueById(placed).sort(byInstant);
  const gone: Placed[] = [];
  const ordered: Ordered[] = [];
  while (waiting.length > 0) {
    const free = waiting.findIndex((candidate) => !waiting.some((other) => mustPrecede(other, candidate)));
    // A ring of names, «seen» and `seq` cannot come about honestly; the earliest goes first and is marked.
    const [next] = waiting.splice(Math.max(free, 0), 1);
    if (next === undefined) break;
    const clockDoubtful =
      free < 0 || gone.some((other) => other.record.at > next.record.at && mustPrecede(other, next));
    ordered.push({ record: next.record, clockDoubtful });
    gone.push(next);
  }
  return ordered;
}

function mustPrecede(first: Placed, then: Placed): boolean {
  if (first === then) return false;
  if (first.record.bench === then.record.bench) return first.record.seq < then.record.seq;
  if (named(then.record) === first.record.id) return true;
  const seen = placeOf(then.record.seen);
  return seen !== null && first.pos !== null && first.epoch === seen.epoch && first.pos <= seen.pos;
}

/** The record without which this one could not have been made, or null. */
function named(record: LedgerRecord): RecordId | null {
  switch (record.kind) {
    case 'clocked-out':
    case 'voided':
      return record.of;
    case 'note-seen':
    case 'note-cured':
      return record.note;
    default:
      return null;
  }
}

function byInstant(a: Placed, b: Placed): number {
  return (
    a.record.at - b.record.at ||
    compareText(a.record.bench, b.record.bench) ||
    a.record.seq - b.record.seq ||
    compareText(a.record.id, b.record.id)
  );
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** The placed copy wins over the unplaced one of the same record. */
function uniqueById(placed: readonly Placed[]): Placed[] {
  const byId = new Map<string, Placed>();
  for (const candidate of placed) {
    const held = byId.get(candidate.record.id);
    if (held === undefined || (held.pos === null && candidate.pos !== null))
      byId.set(candidate.record.id, candidate);
  }
  return [...byId.values()];
}

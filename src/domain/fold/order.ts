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

/** The offsets of two tablets are known to some fraction of a second: so small a contradiction says nothing. */
export const SLACK_MS = 2_000;

/** Whether the tablet that made `then` could have read `first`: they are of one bench, or its cursor was past it. */
export function hadSeen(then: LedgerRecord, first: LedgerRecord, placed: readonly Placed[]): boolean {
  if (first.bench === then.bench) return first.seq < then.seq;
  const seen = placeOf(then.seen);
  return (
    seen !== null &&
    placed.some(
      ({ record, pos, epoch }) =>
        record.id === first.id && pos !== null && epoch === seen.epoch && pos <= seen.pos,
    )
  );
}

/** Orders the records of one pair: O(n²), each two of them compared but twice. */
export function inOrder(placed: readonly Placed[]): readonly Ordered[] {
  const waiting = uniqueById(placed).sort(byInstant).map(toPlace);
  for (const then of waiting) then.before = waiting.filter((first) => mustPrecede(first, then)).length;
  const ordered: Ordered[] = [];
  while (waiting.length > 0) {
    const free = waiting.findIndex(({ before }) => before === 0);
    // A ring of names, «seen» and `seq` cannot come about honestly; the earliest goes first and is marked.
    const [next] = waiting.splice(Math.max(free, 0), 1);
    if (next === undefined) break;
    const { record } = next.placed;
    ordered.push({ record, clockDoubtful: free < 0 || next.latestBefore > record.at + SLACK_MS });
    for (const then of waiting) {
      if (!mustPrecede(next, then)) continue;
      then.before -= 1;
      then.latestBefore = Math.max(then.latestBefore, record.at);
    }
  }
  return ordered;
}

/** A record that waits for its place, with what is asked of it again and again. */
interface ToPlace {
  readonly placed: Placed;
  readonly names: RecordId | null;
  readonly seen: ReturnType<typeof placeOf>;
  /** How many of those that must go before it still wait. */
  before: number;
  /** The latest instant of those that went before it because they must. */
  latestBefore: number;
}

function toPlace(placed: Placed): ToPlace {
  const { record } = placed;
  return { placed, names: named(record), seen: placeOf(record.seen), before: 0, latestBefore: 0 };
}

function mustPrecede(first: ToPlace, { placed: then, names, seen }: ToPlace): boolean {
  const { record, pos, epoch } = first.placed;
  if (record.bench === then.record.bench) return record.seq < then.record.seq;
  if (names === record.id) return true;
  return seen !== null && pos !== null && epoch === seen.epoch && pos <= seen.pos;
}

/** The record without which this one could not have been made, or null. */
function named(record: LedgerRecord): RecordId | null {
  switch (record.kind) {
    case 'clocked-out':
    case 'hand-joined':
    case 'voided':
    case 'time-given':
    case 'looked-into':
      return record.of;
    case 'pair-amended':
      return record.after;
    case 'note-seen':
    case 'note-cured':
    case 'note-released':
    case 'stage-asked':
    case 'owner-asked':
    case 'pictured':
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

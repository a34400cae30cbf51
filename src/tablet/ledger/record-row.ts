/** A row of the store: the record as it came, and beside it what the store looks rows up by. */
import type { Placed } from '../../domain/fold/order.ts';
import { asPairId, type PairId } from '../../domain/ids.ts';
import { type LedgerRecord, pairOf, thingOf } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';

/** Rows without `pair`, `thing` or `bench` (null) are not in the index of it. */
export interface RecordRow {
  readonly id: string;
  readonly pair: string | null;
  /** As `thingOf` names it. A row that a version before this one wrote has no such field: see `withThing`. */
  readonly thing: string | null;
  readonly bench: string | null;
  readonly seq: number | null;
  readonly at: number | null;
  readonly pos: number | null;
  readonly epoch: string | null;
  readonly raw: unknown;
}

export interface RowPlace {
  readonly pos: number | null;
  readonly epoch: string | null;
}

export const UNPLACED: RowPlace = { pos: null, epoch: null };

export function rowOfRecord(record: LedgerRecord): RecordRow {
  const { id, bench, seq, at } = record;
  return { id, pair: pairOf(record), thing: thingOf(record), bench, seq, at, ...UNPLACED, raw: record };
}

/** A record that has no readable envelope is kept under its place, where it can take the place of no other. */
export function rowOfPulled(
  raw: unknown,
  place: { readonly pos: number; readonly epoch: string },
): RecordRow {
  const read = readRecord(raw);
  if (read.is === 'bad') {
    const id = `unread ${place.epoch}.${place.pos}`;
    return { id, pair: null, thing: null, bench: null, seq: null, at: null, ...place, raw };
  }
  const envelope = read.is === 'record' ? read.record : read.envelope;
  const { id, bench, seq, at } = envelope;
  return { id, pair: pairOf(envelope), thing: thingOf(envelope), bench, seq, at, ...place, raw };
}

/** The row as it should be, where a version that knew no things has written it and its record is about one. */
export function withThing(row: RecordRow): readonly RecordRow[] {
  if (row.thing !== undefined) return [];
  const read = readRecord(row.raw);
  if (read.is === 'bad') return [];
  const thing = thingOf(read.is === 'record' ? read.record : read.envelope);
  return thing === null ? [] : [{ ...row, thing }];
}

/** The row's record where this version can read it. It is read anew each time, so a newer app reads more. */
export function placedOf({ raw, pos, epoch }: Pick<RecordRow, 'raw' | 'pos' | 'epoch'>): readonly Placed[] {
  const read = readRecord(raw);
  return read.is === 'record' ? [{ record: read.record, pos, epoch }] : [];
}

export function pairsOf(rows: readonly RecordRow[]): readonly PairId[] {
  return [...new Set(rows.flatMap(({ pair }) => (pair === null ? [] : [asPairId(pair)])))];
}

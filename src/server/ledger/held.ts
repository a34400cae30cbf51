/** From what the ledger holds to what the folds take. */
import type { Placed } from '../../domain/fold/order.ts';
import { readRecord } from '../../domain/record/reading.ts';
import type { Held } from './ledger.ts';

/** The record in its place; null for one that a newer tablet made and this version cannot fold. */
export function placedOf({ pos, json }: Held, epoch: string): Placed | null {
  const read = readRecord(JSON.parse(json));
  return read.is === 'record' ? { record: read.record, pos, epoch } : null;
}

export function allPlaced(held: readonly Held[], epoch: string): readonly Placed[] {
  return held.flatMap((one) => placedOf(one, epoch) ?? []);
}

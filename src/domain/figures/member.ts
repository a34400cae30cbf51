/**
 * A figure is the list of what it counts: the number is computed from the list, and opening the number shows the list.
 * So no figure can be shown that cannot be explained down to its records.
 */
import type { PairId, RecordId } from '../ids.ts';
import { type OneShoe, type Shoe, SIDES } from '../record/kinds.ts';

export interface Member {
  readonly pair: PairId;
  /** What the pair counts for: 1, or ½ for one shoe. */
  readonly share: number;
  /** The records that make it count, in their order. */
  readonly records: readonly RecordId[];
  /** What was measured, in milliseconds; null where the figure only counts. */
  readonly ms: number | null;
}

/** One shoe counts half a pair. */
export function shareOf(shoe: Shoe): number {
  return shoe === 'both' ? 1 : 0.5;
}

/** Pairs, in halves. */
export function total(members: readonly Member[]): number {
  return members.reduce((sum, { share }) => sum + share, 0);
}

/** The shoes that it is about. */
export function sidesOf(shoe: Shoe): readonly OneShoe[] {
  return shoe === 'both' ? SIDES : [shoe];
}

/** What happened to one shoe of a pair or to both. */
export interface OnShoe {
  readonly pair: PairId;
  readonly shoe: Shoe;
  readonly records: readonly RecordId[];
}

/** Each pair once, however often it happened: with half for each shoe that it happened to, and all its records. */
export function eachPairOnce(happened: readonly OnShoe[]): readonly Member[] {
  const pairs = new Map<PairId, { sides: Set<OneShoe>; records: Set<RecordId> }>();
  for (const { pair, shoe, records } of happened) {
    const held = pairs.get(pair) ?? { sides: new Set(), records: new Set() };
    for (const side of sidesOf(shoe)) held.sides.add(side);
    for (const record of records) held.records.add(record);
    pairs.set(pair, held);
  }
  return [...pairs].map(([pair, { sides, records }]) => ({
    pair,
    share: sides.size / 2,
    records: [...records],
    ms: null,
  }));
}

/** The milliseconds that were measured, together. */
export function totalMs(members: readonly { readonly ms: number | null }[]): number {
  return members.reduce((sum, { ms }) => sum + (ms ?? 0), 0);
}

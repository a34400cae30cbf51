/**
 * A figure is the list of what it counts: the number is computed from the list, and opening the number shows the list.
 * So no figure can be shown that cannot be explained down to its records.
 */
import type { PairId, RecordId } from '../ids.ts';
import type { Shoe } from '../record/kinds.ts';

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

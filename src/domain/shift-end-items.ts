/** What a supervisor looks at when the shift ends, as one list of kinds, and what each item of it tells. */
import type { BenchId, OperativeId, PairId, RecordId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';

/** In the order in which they are looked at: first what stops being true when everybody has gone. */
export const SHIFT_END_KINDS = [
  'clocked-in',
  'without-a-name',
  'stopped',
  'out-of-use',
  'parted',
  'not-seen',
  'learners',
  'for-owner',
  'for-last',
  'for-part',
  'for-closer',
  'sent-back',
  'first-thing',
] as const;
export type ShiftEndKind = (typeof SHIFT_END_KINDS)[number];

export interface ShiftEndItem {
  /** Null for a machine. */
  readonly pair: PairId | null;
  readonly since: Instant;
  readonly stage: StageCode | null;
  readonly bench: BenchId | null;
  readonly by: OperativeId | null;
  /** In the words of whoever said so; null where nobody had to say anything. */
  readonly why: string | null;
  /** Of a pair sent back: the catalogue's fault, where it is one. */
  readonly fault: string | null;
  /** Of what dries or sets: when that ends. */
  readonly until: Instant | null;
  /** The record that says so; null where no single one does. */
  readonly record: RecordId | null;
}

type Told = Pick<ShiftEndItem, 'pair' | 'since'> & Partial<ShiftEndItem>;

export function item(told: Told): ShiftEndItem {
  return { stage: null, bench: null, by: null, why: null, fault: null, until: null, record: null, ...told };
}

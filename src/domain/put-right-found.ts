/** What the parts of the list find: one thing that cannot be so, or of which too little is known. */
import type { Spell } from './fold/pair-state.ts';
import type { BenchId, OperativeId, PairId, RecordId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import type { PutRightKind } from './record/kinds.ts';

/** A spell and the pair that it is on. */
export interface WorkOn {
  readonly pair: PairId;
  readonly spell: Spell;
}

export interface Found {
  readonly kind: PutRightKind;
  /** Null for what concerns a bench alone. */
  readonly pair: PairId | null;
  /** The record that it is about; a `looked-into` names it. */
  readonly of: RecordId;
  /** All records that make it odd, `of` among them. */
  readonly records: readonly RecordId[];
  readonly since: Instant;
  /** Who was on; null where nobody was, or nobody is known to have been. */
  readonly hand: OperativeId | null;
  readonly bench: BenchId;
  readonly stage: StageCode | null;
  /** The work that it is about, where it is about work. */
  readonly spell: Spell | null;
  /** The work that it cannot stand beside. */
  readonly against: readonly WorkOn[];
  /** Stages that should have a record by now and have none. */
  readonly missing: readonly StageCode[];
}

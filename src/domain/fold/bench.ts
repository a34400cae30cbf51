/** The present state of one bench, folded from the records that it made itself, in their sequence. */
import type { OperativeId, PairId, RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord } from '../record/kinds.ts';

export interface OpenHere {
  readonly spell: RecordId;
  readonly pair: PairId;
  readonly stage: StageCode;
  readonly by: OperativeId | null;
  readonly from: Instant;
}

export interface DoneHere {
  readonly record: RecordId;
  readonly pair: PairId;
  readonly stage: StageCode;
  readonly by: OperativeId | null;
  readonly at: Instant;
}

export interface BenchState {
  readonly stages: readonly StageCode[];
  readonly on: OperativeId | null;
  /** The last sign of life of whoever is on. */
  readonly lastAt: Instant | null;
  readonly open: readonly OpenHere[];
  readonly done: readonly DoneHere[];
  /** Whose reminders were shown here, newest last. */
  readonly reminded: readonly Reminded[];
}

export interface Reminded {
  readonly by: OperativeId | null;
  readonly stage: StageCode;
  readonly wording: number;
  readonly at: Instant;
}

export const EMPTY_BENCH: BenchState = {
  stages: [],
  on: null,
  lastAt: null,
  open: [],
  done: [],
  reminded: [],
};

export function foldBench(records: readonly LedgerRecord[]): BenchState {
  const taken = new Set(records.flatMap((record) => (record.kind === 'voided' ? [record.of] : [])));
  return records.filter(({ id }) => !taken.has(id)).reduce(stepBench, EMPTY_BENCH);
}

/** One record more. A `voided` is not a step: fold anew. */
export function stepBench(state: BenchState, record: LedgerRecord): BenchState {
  const next = { ...state, lastAt: record.at };
  switch (record.kind) {
    case 'bench-set':
      return { ...next, stages: record.stages };
    case 'badged-on':
      return { ...next, on: record.by };
    case 'badged-off':
      return { ...next, on: null };
    case 'clocked-in': {
      const { id: spell, pair, stage, by, at: from } = record;
      return { ...next, open: [...state.open, { spell, pair, stage, by, from }] };
    }
    case 'clocked-out': {
      const ended = state.open.find(({ spell }) => spell === record.of);
      const open = state.open.filter((other) => other !== ended);
      if (record.outcome !== 'done') return { ...next, open };
      // Told here of another bench, whose work it was: nobody here has done it.
      if (ended === undefined && !record.timed) return { ...next, open };
      const { id, pair, stage, at } = record;
      // Finished work is the work of whoever clocked in, even where the next hand clocked it out.
      const by = ended === undefined ? record.by : ended.by;
      return { ...next, open, done: [...state.done, { record: id, pair, stage, by, at }] };
    }
    case 'reminders-shown': {
      const { by, stage, wording, at } = record;
      return { ...next, reminded: [...state.reminded, { by, stage, wording, at }] };
    }
    default:
      return next;
  }
}

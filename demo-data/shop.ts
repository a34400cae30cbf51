/** What everything in the simulation works with. */
import type { OperativeId, StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import type { Lasts } from './lasts.ts';
import type { PairOnLine } from './pairs.ts';
import type { Prng } from './prng.ts';
import type { Queues } from './queues.ts';
import type { ShiftWindow, WorkingDay } from './shifts.ts';
import type { Scribe, Tablet } from './tablets.ts';

export const SECOND_MS = 1000;

export interface Shop {
  readonly random: Prng;
  readonly scribe: Scribe;
  readonly queues: Queues;
  readonly lasts: Lasts;
  readonly desk: Tablet;
  readonly office: Tablet;
  readonly supervisors: readonly OperativeId[];
  readonly clerks: readonly OperativeId[];
  readonly racks: readonly string[];
  readonly days: readonly WorkingDay[];
  /** Other hands of the same shift; with a stage, those that may run its machine. */
  readonly handsBeside: (hand: OperativeId, shift: ShiftWindow, stage?: StageCode) => readonly OperativeId[];
  /** Hand, bench, stage and day whose reminders were shown. */
  readonly reminded: Set<string>;
}

/** Whoever works a turn, and where. */
export interface Worker {
  readonly tablet: Tablet;
  readonly hand: {
    readonly id: OperativeId;
    readonly pace: number;
    /** The machine stages on this hand's list; null where the site keeps none. */
    readonly released: readonly StageCode[] | null;
  };
  readonly shift: ShiftWindow;
}

/** One hand, one stage, one pair or a rack of them. */
export interface Turn extends Worker {
  readonly stage: StageCode;
  readonly pairs: readonly PairOnLine[];
  readonly at: Instant;
}

/** The office's hours: this moment, or when it opens next. */
export function officeOpenAt({ days }: Pick<Shop, 'days'>, at: Instant): Instant {
  const day = days.find(({ office }) => at < office.to);
  return day === undefined ? Number.POSITIVE_INFINITY : Math.max(at, day.office.from);
}

/**
 * The shift sheet: what each stage put through in one shift, who worked how long, and how the line stood. The types
 * here are what the figures answer with; each figure is a list of members (`member.ts`) or is computed from such lists.
 *
 * Names follow ISO 22400-2 where it has one: *first pass yield*, *worker efficiency*, *throughput rate*,
 * *allocation ratio*.
 */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { Member } from './member.ts';

/** Median and ninth decile by Hyndman and Fan's type 6 (`percentile.ts`), in milliseconds; null where nothing was measured. */
export interface Spread {
  readonly median: number | null;
  readonly ninth: number | null;
  readonly members: readonly Member[];
}

export interface StageFigures {
  readonly stage: StageCode;
  /** Clocked in during the shift; a pair counts once at a stage, its shoes half each. */
  readonly in: readonly Member[];
  /** Finished during the shift. */
  readonly out: readonly Member[];
  /** Sent back from here, and to here, during the shift. */
  readonly sentBackFrom: readonly Member[];
  readonly sentBackTo: readonly Member[];
  /** Of `out`, those that have not been sent back to this stage since. First pass yield is their share. */
  readonly firstPass: readonly Member[];
  /** Touch time of each spell that ended here in the shift. */
  readonly touch: Spread;
  /** From due to begun, for each spell that began here in the shift: elapsed time, nights included. */
  readonly wait: Spread;
  /** Due and not begun at `at`, the longest waiting first. */
  readonly waiting: readonly Member[];
  readonly oldest: { readonly pair: PairId; readonly since: Instant } | null;
  /** Begun in the shift or before, not ended or ended at a time that nobody knows. */
  readonly endUnknown: readonly Member[];
  /** Touch time at this stage within the shift over the time that its benches had hands clocked in to the shift; 0 … 1, null where nobody was. */
  readonly utilisation: number | null;
}

export interface HandFigures {
  readonly hand: OperativeId;
  /** Badged on within the shift, breaks taken off. */
  readonly onMs: number;
  /** Never more than `onMs` where the badge was used: touch time is shared among the pairs open at once. */
  readonly touchMs: number;
  readonly stages: readonly { readonly stage: StageCode; readonly out: readonly Member[] }[];
}

export interface PairFigures {
  readonly pair: PairId;
  /** From logged (or first met) to closed, or to `at` while it is here. */
  readonly leadMs: number;
  readonly touchMs: number;
  /** Days of the site's calendar between the promise and the day it left, or today; above 0 when late; null without a promise. */
  readonly daysLate: number | null;
}

export interface LineFigures {
  /** Pairs in the works at `at`, in halves where one shoe is gone. */
  readonly inWork: readonly Member[];
  /** Left the works in the shift. */
  readonly boxed: readonly Member[];
  /** Over the last days that `little` looks at. */
  readonly little: {
    readonly from: Instant;
    readonly to: Instant;
    /** Mean number of pairs in the works. */
    readonly inWork: number;
    /** Pairs that left, a day. */
    readonly perDay: number;
    /** Mean lead time of the pairs that left, in days; null where none did. */
    readonly leadDays: number | null;
    /** Lead time that Little's law gives for `inWork` and `perDay`, over `leadDays`; far from 1 the data hold something that the law does not. */
    readonly closes: number | null;
  };
  /** The product of the first pass yields of the stages that put anything through. */
  readonly rolledYield: number | null;
  /** The stage with the longest time to work its queue off, as things stand; null where nothing waits. */
  readonly holdsBack: {
    readonly stage: StageCode;
    readonly waiting: number;
    readonly oldest: Instant;
    /** Time to work off what waits at the pace of the shift, in milliseconds of work; null where the stage put nothing through. */
    readonly queueMs: number | null;
    readonly utilisation: number | null;
  } | null;
}

export interface ShiftSheet {
  readonly shift: ShiftSpan;
  /** The end of the shift, or the moment of asking while it runs: what «now» means on the sheet. */
  readonly at: Instant;
  readonly stages: readonly StageFigures[];
  readonly hands: readonly HandFigures[];
  readonly pairs: readonly PairFigures[];
  readonly line: LineFigures;
  /** Records by which times within the shift were put right. */
  readonly amended: readonly { readonly pair: PairId; readonly record: RecordId }[];
}

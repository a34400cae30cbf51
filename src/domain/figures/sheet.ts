/**
 * The shift sheet: what each stage put through in one shift, who worked how long, and how the line stood. The types
 * here are what the figures answer with; each figure is a list of members (`member.ts`) or is computed from such lists.
 *
 * Names follow ISO 22400-2 where it has one: *first pass yield*, *worker efficiency*, *allocation ratio*; read in a public ontology that quotes its formulas, the standard itself was not opened.
 *
 * Everything is computed with what is known today: a clock-out put right, or a pair sent back the day after, changes the
 * sheet of the day before. «In the shift» means from its beginning up to `at`, that instant not included.
 */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { Presence } from './attendance.ts';
import type { Member } from './member.ts';

/** Median and ninth decile by Hyndman and Fan's type 6 (`percentile.ts`), in milliseconds; null where nothing was measured. */
export interface Spread {
  readonly median: number | null;
  readonly ninth: number | null;
  readonly members: readonly Member[];
}

export interface StageFigures {
  readonly stage: StageCode;
  /** Clocked in during the shift; a pair counts once at a stage, its shoes half each. What was done unscanned is not in it. */
  readonly in: readonly Member[];
  /** Finished during the shift; where nobody scanned at the time, said during the shift. A pair counts once, as above. */
  readonly out: readonly Member[];
  /** Sent back from here, and to here, during the shift: once for each sending. */
  readonly sentBackFrom: readonly Member[];
  readonly sentBackTo: readonly Member[];
  /**
   * Of `out`, those that have not been sent back to this stage since, whenever that was. *First pass yield* (ISO 22400-2:
   * good parts over inspected parts) is their share. A stage that is only done again because an earlier one was at fault
   * keeps its first pass.
   */
  readonly firstPass: readonly Member[];
  /** Touch time of each spell that ended here in the shift, all of it: of all hands, and before the shift too. */
  readonly touch: Spread;
  /** From due to begun, for each wait that ended in the shift because work began: elapsed time, nights included. */
  readonly wait: Spread;
  /** Due and not begun at `at`, the longest waiting first. */
  readonly waiting: readonly Member[];
  /** In work at `at`. */
  readonly working: readonly Member[];
  readonly oldest: { readonly pair: PairId; readonly since: Instant } | null;
  /**
   * Begun in the shift or before, not ended or ended in the shift or later at a time that nobody knows. While the shift
   * runs, what was begun in it and is open is in work and not yet in question.
   */
  readonly endUnknown: readonly Member[];
  /** Touch time here within the shift, one member a spell. */
  readonly worked: readonly Member[];
  /** Who was badged on at the stage's benches within the shift. */
  readonly on: readonly Presence[];
  /**
   * `worked` over the time that hands were on here within the shift, breaks taken off: badged on at one of the stage's
   * benches or in work at the stage. 0 … 1; null where nobody was. It has ISO 22400-2's *worker efficiency* (actual work
   * time over attendance time) at one stage.
   */
  readonly utilisation: number | null;
  /** Mean work of a pair finished here, over the whole ways of the pairs that were in the works in the shift; null where none was. */
  readonly workEach: number | null;
}

export interface HandFigures {
  readonly hand: OperativeId;
  /**
   * On within the shift, breaks taken off: badged on, or in work, since a bench that nobody touches badges its hand off.
   * ISO 22400-2: *actual personnel attendance time*.
   */
  readonly onMs: number;
  readonly on: readonly Presence[];
  /** Touch time within the shift, never more than `onMs`. Over `onMs` it is ISO 22400-2's *worker efficiency*. */
  readonly touchMs: number;
  /** One member a spell. */
  readonly touch: readonly Member[];
  /** Finished in the shift with this hand's work; a pair that two hands finished counts for each of them. */
  readonly stages: readonly { readonly stage: StageCode; readonly out: readonly Member[] }[];
}

/** Of a pair that was in the works in the shift. */
export interface PairFigures {
  readonly pair: PairId;
  /** From the first record that stands, mostly its logging, to leaving, or to `at` while it is here. */
  readonly leadMs: number;
  /** The records that say so. */
  readonly lead: readonly RecordId[];
  /**
   * Over `leadMs` it is ISO 22400-2's *allocation ratio*. Breaks are known as far back as the shifts that the sheet was
   * given, and shared work as far as the pairs that it was given.
   */
  readonly touchMs: number;
  readonly touch: readonly Member[];
  /** Days of the site's calendar between the promise and the day it left, or today; above 0 when late; null without a promise. */
  readonly daysLate: number | null;
}

export interface LineFigures {
  /** Pairs in the works at `at`. */
  readonly inWork: readonly Member[];
  /** Left the works finished in the shift. */
  readonly boxed: readonly Member[];
  /** Left the works unfinished in the shift. */
  readonly handedBack: readonly Member[];
  /**
   * Over the last days, so many. J. D. C. Little, «A Proof for the Queuing Formula: L = λW», Operations Research 9 (1961)
   * 383–387. It holds exactly where the works were empty at both ends, and else the better the longer one looks back.
   */
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
  /**
   * The stage at which the most work waits: what waits there, times the mean work of a pair there. Where nobody knows how long
   * a pair takes at any of them, the one where most waits; null where nothing waits.
   */
  readonly holdsBack: {
    readonly stage: StageCode;
    /** In pairs. */
    readonly waiting: number;
    readonly oldest: Instant;
    /** The work that waits there, in milliseconds; null where no pair has been finished there yet. */
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

/** What stages put through over days and hours: the series behind the charts. Pairs, one shoe as half. */
import type { ShiftSpan, Span } from '../calendar/calendar.ts';
import { dayOn, weekdayOf } from '../calendar/wall-time.ts';
import type { PairId, StageCode } from '../ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../instant.ts';
import type { Shoe } from '../record/kinds.ts';
import type { PairFacts } from './facts.ts';
import { grouped } from './grouped.ts';
import { sidesOf } from './member.ts';
import { median } from './percentile.ts';
import { holds } from './spans.ts';

/** One finishing of a stage. */
export interface Finishing {
  readonly pair: PairId;
  readonly stage: StageCode;
  readonly shoe: Shoe;
  readonly at: Instant;
}

/** Every finishing of any stage within the span, by its instant. */
export function finishings(all: readonly PairFacts[], span: Span): readonly Finishing[] {
  return all
    .flatMap(({ pair, spells }) =>
      spells.flatMap(({ stage, shoe, outcome, to }) =>
        outcome === 'done' && to !== null && holds(span, to) ? [{ pair, stage, shoe, at: to }] : [],
      ),
    )
    .sort((a, b) => a.at - b.at);
}

/** Pairs that left the works finished, within the span, as finishings of the closing stage. */
export function leavings(
  all: readonly PairFacts[],
  closingStage: StageCode,
  span: Span,
): readonly Finishing[] {
  return all
    .flatMap(({ pair, stays }) =>
      stays.flatMap(({ to, unfinished }) =>
        to !== null && !unfinished && holds(span, to.at)
          ? [{ pair, stage: closingStage, shoe: 'both' as const, at: to.at }]
          : [],
      ),
    )
    .sort((a, b) => a.at - b.at);
}

/** Counts as the sheet does: a pair once, its shoes half each, however often they are finished. */
function counter(): (finishing: Finishing) => number {
  const counted = new Set<string>();
  return ({ pair, shoe }) => {
    const before = counted.size;
    for (const side of sidesOf(shoe)) counted.add(`${pair} ${side}`);
    return (counted.size - before) / 2;
  };
}

export interface DayOutput {
  /** The site's day, `2026-12-10`. */
  readonly day: string;
  /** Pairs. */
  readonly value: number;
}

/**
 * What one stage put through on each day that had a shift, oldest first: the individuals of its chart. What is finished
 * within a shift belongs to the day on which the shift began, so a night's work is of one day; what is finished between
 * shifts belongs to its day on the wall, and on a day without a shift to none.
 */
export function dailyOutput(
  all: readonly Finishing[],
  stage: StageCode,
  shifts: readonly ShiftSpan[],
  timeZone: string,
): readonly DayOutput[] {
  const days = [...new Set(shifts.map(({ day }) => day))].sort();
  const dayOf = daysOf(shifts, timeZone);
  const byDay = grouped(
    all.filter((one) => one.stage === stage),
    ({ at }) => dayOf(at),
  );
  return days.map((day) => {
    const count = counter();
    return { day, value: (byDay.get(day) ?? []).reduce((sum, one) => sum + count(one), 0) };
  });
}

/** Offsets from UTC are whole quarters of an hour, so all instants of a quarter are of one day. */
const QUARTER_MS = 15 * MINUTE_MS;

function daysOf(shifts: readonly ShiftSpan[], timeZone: string): (at: Instant) => string {
  const quarters = new Map<number, string>();
  const inOrder = shifts.toSorted((a, b) => a.from - b.from);
  return (at) => {
    const shift = inOrder.find((one) => holds(one, at));
    if (shift !== undefined) return shift.day;
    const quarter = Math.floor(at / QUARTER_MS);
    const day = quarters.get(quarter) ?? dayOn(timeZone, at);
    quarters.set(quarter, day);
    return day;
  };
}

export interface HourOutput extends Span {
  /** Pairs in this hour. */
  readonly value: number;
  /** Pairs since the shift began. */
  readonly sum: number;
}

/**
 * Hours that passed since the shift began, the last one maybe shorter; on a night when the clocks change, 7 or 9 of 8.
 * @param all by their instants
 */
export function hourlyOutput(
  all: readonly Finishing[],
  stage: StageCode,
  shift: Span,
): readonly HourOutput[] {
  const count = counter();
  const inShift = grouped(
    all.filter((one) => one.stage === stage && holds(shift, one.at)),
    ({ at }) => Math.floor((at - shift.from) / HOUR_MS),
  );
  let sum = 0;
  return hoursOf(shift).map((hour, index) => {
    const value = (inShift.get(index) ?? []).reduce((pairs, one) => pairs + count(one), 0);
    sum += value;
    return { ...hour, value, sum };
  });
}

function hoursOf({ from, to }: Span): readonly Span[] {
  return Array.from({ length: Math.max(0, Math.ceil((to - from) / HOUR_MS)) }, (_, hour) => ({
    from: from + hour * HOUR_MS,
    to: Math.min(to, from + (hour + 1) * HOUR_MS),
  }));
}

export const USUAL_WEEKS = 8;
/** From fewer days nothing usual can be told. */
export const USUAL_DAYS_LEAST = 3;

/**
 * What is usual for such a shift: hour by hour the median of the sums by then, over the shifts of the same name that
 * began on the same weekday in the eight weeks before. A shift that was shorter stays at its last sum.
 * @param shifts the site's shifts of those weeks; more do no harm
 * @returns one sum for each hour of `hourlyOutput`, or null where there were fewer than three such days
 */
export function usualOutput(
  all: readonly Finishing[],
  stage: StageCode,
  shift: ShiftSpan,
  shifts: readonly ShiftSpan[],
): readonly number[] | null {
  const weekday = weekdayOf(shift.day);
  const alike = shifts.filter(
    ({ name, day, from, overtime }) =>
      name === shift.name &&
      !overtime &&
      from < shift.from &&
      from >= shift.from - USUAL_WEEKS * 7 * DAY_MS - HOUR_MS &&
      weekdayOf(day) === weekday,
  );
  if (alike.length < USUAL_DAYS_LEAST) return null;
  const curves = alike.map((one) => hourlyOutput(all, stage, one).map(({ sum }) => sum));
  return hoursOf(shift).map((_, hour) => {
    const sums = curves.map((curve) => curve[hour] ?? curve.at(-1) ?? 0);
    return median(sums) ?? 0;
  });
}

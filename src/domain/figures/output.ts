/** What stages put through over days and hours: the series behind the charts. Pairs, one shoe as half. */
import type { ShiftSpan, Span } from '../calendar/calendar.ts';
import { dayOn, weekdayOf } from '../calendar/wall-time.ts';
import type { StageCode } from '../ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../instant.ts';
import type { PairFacts } from './facts.ts';
import { shareOf } from './member.ts';
import { median } from './percentile.ts';
import { holds } from './spans.ts';

/** One finishing of a stage. */
export interface Finishing {
  readonly stage: StageCode;
  readonly at: Instant;
  readonly share: number;
}

/** Every finishing of any stage within the span, by its instant; a stage done twice on a pair is finished twice. */
export function finishings(all: readonly PairFacts[], span: Span): readonly Finishing[] {
  return all
    .flatMap(({ spells }) =>
      spells.flatMap(({ stage, shoe, outcome, to }) =>
        outcome === 'done' && to !== null && holds(span, to) ? [{ stage, at: to, share: shareOf(shoe) }] : [],
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
    .flatMap(({ stays }) =>
      stays.flatMap(({ to, unfinished }) =>
        to !== null && !unfinished && holds(span, to.at)
          ? [{ stage: closingStage, at: to.at, share: 1 }]
          : [],
      ),
    )
    .sort((a, b) => a.at - b.at);
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
  const days = new Map([...new Set(shifts.map(({ day }) => day))].sort().map((day) => [day, 0]));
  const dayOf = daysOf(shifts, timeZone);
  for (const { stage: done, at, share } of all) {
    const day = done === stage ? dayOf(at) : null;
    const held = day === null ? undefined : days.get(day);
    if (day !== null && held !== undefined) days.set(day, held + share);
  }
  return [...days].map(([day, value]) => ({ day, value }));
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

/** Hours that passed since the shift began, the last one maybe shorter; on a night when the clocks change, 7 or 9 of 8. */
export function hourlyOutput(
  all: readonly Finishing[],
  stage: StageCode,
  shift: Span,
): readonly HourOutput[] {
  const hours = hoursOf(shift).map((hour) => ({ ...hour, value: 0, sum: 0 }));
  for (const { stage: done, at, share } of all) {
    const hour = done === stage ? hours[Math.floor((at - shift.from) / HOUR_MS)] : undefined;
    if (hour !== undefined && holds(hour, at)) hour.value += share;
  }
  let sum = 0;
  for (const hour of hours) {
    sum += hour.value;
    hour.sum = sum;
  }
  return hours;
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

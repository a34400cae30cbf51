/** The calendar of Aldermoor Bench: two shifts a weekday, Friday's early one an hour shorter, and a week shut. */
import type { Calendar, ShiftRule, ShiftSpan, Span } from '../src/domain/calendar/calendar.ts';
import { shiftsBetween } from '../src/domain/calendar/shifts-between.ts';
import { dayAfter, dayOn, instantOn, weekdayOf } from '../src/domain/calendar/wall-time.ts';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import { TIME_ZONE } from './workshop.ts';

export type ShiftWindow = Pick<ShiftSpan, 'from' | 'to' | 'breaks'>;

export interface WorkingDay {
  /** `2026-12-10` on the site's calendar. */
  readonly date: string;
  readonly early: ShiftWindow;
  readonly late: ShiftWindow;
  readonly office: Span;
}

const BREAKS = {
  early: [
    { from: '09:00', to: '09:15' },
    { from: '11:30', to: '12:00' },
  ],
  late: [{ from: '17:30', to: '18:00' }],
};

const SHIFT_RULES: ShiftRule[] = [
  { name: 'Early', days: [1, 2, 3, 4], from: '06:00', to: '14:00', breaks: BREAKS.early },
  { name: 'Early', days: [5], from: '06:00', to: '13:00', breaks: BREAKS.early },
  { name: 'Late', days: [1, 2, 3, 4, 5], from: '14:00', to: '21:30', breaks: BREAKS.late },
];

/** The weeks from this one to the one in which the works are shut. */
const WEEKS_TO_SHUT = 5;

/** The workshop's calendar as it stands when the demo is made. */
export function calendarAt(now: Instant): Calendar {
  const today = dayOn(TIME_ZONE, now);
  const monday = dayAfter(today, 1 - weekdayOf(today) + 7 * WEEKS_TO_SHUT);
  return {
    versions: [{ since: null, rules: SHIFT_RULES }],
    shut: [{ from: monday, to: dayAfter(monday, 6), name: 'Stocktaking' }],
    overtime: [],
  };
}

/** Days of the calendar that surely hold so many working days: two a week are free, and one week is shut. */
const daysFor = (workingDays: number): number => workingDays * 2 + 14;

/**
 * Working days round `around`: `before` of them up to and including its own day (or the last one before it),
 * and `after` of them behind it.
 */
export function workingDays(around: Instant, before: number, after: number): readonly WorkingDay[] {
  const today = dayOn(TIME_ZONE, around);
  const [first, last] = [dayAfter(today, -daysFor(before)), dayAfter(today, daysFor(after))];
  const midnight = (day: string) => instantOn(TIME_ZONE, day, '00:00');
  const shifts = shiftsBetween(calendarAt(around), TIME_ZONE, midnight(first), midnight(last));
  const days = [...new Set(shifts.map(({ day }) => day))].map((day) => workingDay(day, shifts));
  const coming = days.findIndex(({ date }) => date > today);
  return days.slice(coming - before, coming + after);
}

function workingDay(date: string, shifts: readonly ShiftSpan[]): WorkingDay {
  const shift = (wanted: string): ShiftWindow => {
    const found = shifts.find(({ name, day }) => name === wanted && day === date);
    if (found === undefined) throw new Error(`no ${wanted} shift on ${date}`);
    return found;
  };
  const at = (time: string) => instantOn(TIME_ZONE, date, time);
  return { date, early: shift('Early'), late: shift('Late'), office: { from: at('06:15'), to: at('16:00') } };
}

/** `instant`, or the end of the break that it falls into. */
export function afterBreak({ breaks }: ShiftWindow, instant: Instant): Instant {
  return breaks.find(({ from, to }) => from <= instant && instant < to)?.to ?? instant;
}

/** When work of so many minutes ends that starts at `from`, breaks left out; it may end after the shift. */
export function workedUntil(shift: ShiftWindow, from: Instant, minutes: number): Instant {
  let at = afterBreak(shift, from);
  let restMs = Math.round(minutes * MINUTE_MS);
  for (const pause of shift.breaks) {
    if (pause.from < at) continue;
    if (at + restMs <= pause.from) break;
    restMs -= pause.from - at;
    at = pause.to;
  }
  return at + restMs;
}

/** Minutes from `from` to `to` in this shift, breaks left out. */
export function workedMinutes({ breaks }: ShiftWindow, from: Instant, to: Instant): number {
  const pausesMs = breaks.reduce(
    (sum, pause) => sum + Math.max(0, Math.min(to, pause.to) - Math.max(from, pause.from)),
    0,
  );
  return (to - from - pausesMs) / MINUTE_MS;
}

/** The shifts that a site's book holds: the calendar's, from a week back to some weeks ahead. */
import type { Calendar, ShiftSpan } from '../domain/calendar/calendar.ts';
import { shiftsBetween } from '../domain/calendar/shifts-between.ts';
import { dayAfter, dayOn, instantOn } from '../domain/calendar/wall-time.ts';
import { DAY_MS, type Instant } from '../domain/instant.ts';
import { SHIFTS_MAX, type Shift } from '../domain/site-book.ts';

export const DAYS_BEHIND = 7;
export const DAYS_AHEAD = 60;

/**
 * The shifts that begin on the site's calendar days from `DAYS_BEHIND` before today to `DAYS_AHEAD` after it, by
 * their beginning; the last of them left out where they are more than a book holds.
 * @param timeZone an IANA name
 * @throws RangeError when there is no such time zone
 */
export function shiftWindows(calendar: Calendar, timeZone: string, now: Instant): readonly Shift[] {
  const today = dayOn(timeZone, now);
  const [first, end] = [dayAfter(today, -DAYS_BEHIND), dayAfter(today, DAYS_AHEAD + 1)];
  const midnight = (day: string) => instantOn(timeZone, day, '00:00');
  return shiftsBetween(calendar, timeZone, midnight(first), midnight(end))
    .filter(({ day }) => day >= first)
    .slice(0, SHIFTS_MAX)
    .map((shift) => ({ ...shift, breaks: [...shift.breaks] }));
}

/** Tablets may be away for a month; the book is written anew while it still reaches that far. */
const DAYS_AHEAD_LEAST = 45;

/** Whether the book misses a shift, or a break of it, that a tablet may need before it is back. */
export function isShort(
  shifts: readonly Shift[],
  calendar: Calendar,
  timeZone: string,
  now: Instant,
): boolean {
  const held = new Set(shifts.map(written));
  return shiftsBetween(calendar, timeZone, now, now + DAYS_AHEAD_LEAST * DAY_MS)
    .slice(0, SHIFTS_MAX)
    .some((shift) => !held.has(written(shift)));
}

function written({ name, day, from, to, breaks, overtime }: ShiftSpan): string {
  return JSON.stringify([name, day, from, to, breaks.map((pause) => [pause.from, pause.to]), overtime]);
}

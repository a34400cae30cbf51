/**
 * A site's shifts as instants. A shift is written as times on the wall and belongs to the calendar day on which it
 * begins; it may cross midnight, and on a night when the clocks change it is an hour shorter or longer.
 */
import { Temporal } from 'temporal-polyfill';
import * as z from 'zod';
import { DAY_MS, type Instant } from '../domain/instant.ts';
import { lineSchema } from '../domain/record/envelope.ts';
import type { Shift } from '../domain/site-book.ts';

const wallTimeSchema = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'is no time as 22:00');

export const shiftRuleSchema = z
  .object({
    name: lineSchema(40),
    /** ISO 8601 weekdays, 1 for Monday, on which the shift begins. */
    days: z.array(z.int().min(1).max(7)).min(1).max(7),
    from: wallTimeSchema,
    /** At or before `from`: on the day after. */
    to: wallTimeSchema,
  })
  .readonly();
export type ShiftRule = z.infer<typeof shiftRuleSchema>;
/** Five a day for all the days that a book holds stay within its limit. */
export const shiftRulesSchema = z.array(shiftRuleSchema).max(5);

export const DAYS_BEHIND = 7;
export const DAYS_AHEAD = 60;

/**
 * The shifts that begin on the site's calendar days from `DAYS_BEHIND` before today to `DAYS_AHEAD` after it, by
 * their beginning. A time that the clocks skip is read as the same distance after the change, and one that comes
 * twice as its first coming («compatible» in ECMAScript Temporal, as in RFC 5545).
 * @param timeZone an IANA name
 * @throws RangeError when there is no such time zone
 */
export function shiftWindows(rules: readonly ShiftRule[], timeZone: string, now: Instant): readonly Shift[] {
  const today = Temporal.Instant.fromEpochMilliseconds(now).toZonedDateTimeISO(timeZone).toPlainDate();
  const count = DAYS_BEHIND + DAYS_AHEAD + 1;
  const days = Array.from({ length: count }, (_, index) => today.add({ days: index - DAYS_BEHIND }));
  return days
    .flatMap((day) =>
      rules
        .filter((rule) => rule.days.includes(day.dayOfWeek))
        .map((rule) => ({
          name: rule.name,
          from: instantOf(day, rule.from, timeZone),
          to: instantOf(rule.to <= rule.from ? day.add({ days: 1 }) : day, rule.to, timeZone),
        })),
    )
    .sort((a, b) => a.from - b.from || a.to - b.to);
}

/** Tablets may be away for a month; the book is written anew while it still reaches that far. */
const DAYS_AHEAD_LEAST = 45;

/** Whether shifts computed at some time no longer reach far enough, or not at all. */
export function reachTooShort(shifts: readonly Shift[], now: Instant): boolean {
  const last = shifts.at(-1);
  return last === undefined || last.from < now + DAYS_AHEAD_LEAST * DAY_MS;
}

function instantOf(day: Temporal.PlainDate, time: string, timeZone: string): Instant {
  return day.toZonedDateTime({ timeZone, plainTime: Temporal.PlainTime.from(time) }).epochMilliseconds;
}

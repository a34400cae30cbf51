/** Days as they are printed: `Thu 10 Dec 2026`, which nobody can read with day and month swapped. */
import { Temporal } from 'temporal-polyfill';

// Our own short names: a runtime's locale data has changed `Sep` to `Sept` before.
const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/**
 * @param day ISO 8601 calendar date, `2026-12-10`
 * @throws RangeError when there is no such day
 */
export function printedDay(day: string): string {
  return named(Temporal.PlainDate.from(day));
}

/**
 * `Thu 10 Dec 2026, 14:40` on the site's clock.
 * @param instant ISO 8601 with `Z` or an offset
 * @param zone the site's IANA time zone
 * @throws RangeError when either is unknown
 */
export function printedInstant(instant: string, zone: string): string {
  const at = Temporal.Instant.from(instant).toZonedDateTimeISO(zone);
  const clock = [at.hour, at.minute].map((part) => String(part).padStart(2, '0')).join(':');
  return `${named(at.toPlainDate())}, ${clock}`;
}

function named(date: Temporal.PlainDate): string {
  return `${DAYS[date.dayOfWeek - 1]} ${date.day} ${MONTHS[date.month - 1]} ${date.year}`;
}

/** Days of a site's calendar as instants. */
import { Temporal } from 'temporal-polyfill';
import type { Instant } from '../instant.ts';

/**
 * When the day is over in the time zone.
 * @param day `2026-12-10`
 */
export function endOfDay(day: string, timeZone: string): Instant {
  return Temporal.PlainDate.from(day).add({ days: 1 }).toZonedDateTime(timeZone).epochMilliseconds;
}

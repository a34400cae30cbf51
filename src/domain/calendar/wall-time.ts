/** Times on the wall of a time zone as instants, on the nights when the clocks change too (IANA tz database). */
import { Temporal } from 'temporal-polyfill';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../instant.ts';

/** How often a time on the wall comes on a day: `twice` when the clocks go back, `never` when they go forward over it. */
export type HowOften = 'once' | 'twice' | 'never';

/** Which of two comings is meant; without effect on a time that comes once. */
export type Coming = 'first' | 'second';

/**
 * Whoever types a time that does not come once has to be asked what they mean.
 * @param day `2026-10-25`
 * @param time `01:30`
 * @throws RangeError where one of the three is none
 */
export function howOften(timeZone: string, day: string, time: string): HowOften {
  const wall = wallTime(day, time);
  const earlier = wall.toZonedDateTime(timeZone, { disambiguation: 'earlier' });
  const later = wall.toZonedDateTime(timeZone, { disambiguation: 'later' });
  if (earlier.epochMilliseconds === later.epochMilliseconds) return 'once';
  return earlier.toPlainDateTime().equals(wall) ? 'twice' : 'never';
}

/**
 * The instant of a time on the wall. One that the clocks skip is read as the same distance after the change, and of
 * one that comes twice the first is meant unless the second is asked for («compatible» in ECMAScript Temporal, as in
 * RFC 5545, section 3.3.5).
 * @throws RangeError where zone, day or time is none
 */
export function instantOn(timeZone: string, day: string, time: string, coming: Coming = 'first'): Instant {
  const disambiguation = coming === 'first' ? 'compatible' : 'later';
  return wallTime(day, time).toZonedDateTime(timeZone, { disambiguation }).epochMilliseconds;
}

const MIDNIGHT = '00:00';

/** `instantOn` of one zone. */
export type Wall = (day: string, time: string) => Instant;

/**
 * `instantOn` for many times of a zone: the zone is asked once a day, since on a day of 24 hours every time comes
 * once, at its distance from midnight.
 */
export function wallOf(timeZone: string): Wall {
  const days = new Map<string, { readonly begin: Instant; readonly isEven: boolean }>();
  const read = (day: string) => {
    const begin = instantOn(timeZone, day, MIDNIGHT);
    const isEven = instantOn(timeZone, dayAfter(day, 1), MIDNIGHT) - begin === DAY_MS;
    days.set(day, { begin, isEven });
    return { begin, isEven };
  };
  return (day, time) => {
    const { begin, isEven } = days.get(day) ?? read(day);
    if (!isEven) return instantOn(timeZone, day, time);
    return begin + Number(time.slice(0, 2)) * HOUR_MS + Number(time.slice(3, 5)) * MINUTE_MS;
  };
}

/** The calendar day of the site, `2026-12-10`. @throws RangeError when there is no such time zone */
export function dayOn(timeZone: string, at: Instant): string {
  return Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(timeZone).toPlainDate().toString();
}

/** @param days below 0 for earlier ones */
export function dayAfter(day: string, days: number): string {
  return Temporal.PlainDate.from(day).add({ days }).toString();
}

/** ISO 8601: 1 for Monday. */
export function weekdayOf(day: string): number {
  return Temporal.PlainDate.from(day).dayOfWeek;
}

function wallTime(day: string, time: string): Temporal.PlainDateTime {
  return Temporal.PlainDate.from(day).toPlainDateTime(Temporal.PlainTime.from(time));
}

/**
 * Instants as other programs read them: RFC 3339, to the millisecond. A table of a year has millions of them, so what
 * is the same for many, the name of a day and the offset of a zone, is asked for once.
 */
import { Temporal } from 'temporal-polyfill';
import { DAY_MS, type Instant, MINUTE_MS } from '../instant.ts';

/** RFC 3339 has years of four digits. A clock can be wrong by more than that; then the last time that it has is written. */
const LAST: Instant = Temporal.Instant.from('9999-12-31T23:59:59.999Z').epochMilliseconds - DAY_MS;
const NEVER = Number.POSITIVE_INFINITY;
const DAYS_KEPT = 2_000;

/** `2026-11-02T08:00:00.000Z` */
export function inUtc(at: Instant): string {
  return `${wallText(Math.min(at, LAST))}Z`;
}

export type SiteTime = (at: Instant) => string;

/**
 * Writes instants as times on the wall of a zone with their offset: `2026-07-06T09:00:00.000+01:00`.
 * @param timeZone an IANA name
 * @throws RangeError when there is no such time zone
 */
export function siteTimeIn(timeZone: string): SiteTime {
  let known = offsetAt(timeZone, 0);
  return (instant) => {
    const at = Math.min(instant, LAST);
    if (at < known.from || at >= known.to) known = offsetAt(timeZone, at);
    return `${wallText(at + known.offsetMs)}${known.text}`;
  };
}

/** From when to when a zone keeps the offset that it has at an instant. */
function offsetAt(timeZone: string, at: Instant) {
  const zoned = Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(timeZone);
  // An offset is written in whole minutes; the time beside it must be by the same.
  const minutes = Math.round(zoned.offsetNanoseconds / 1e6 / MINUTE_MS);
  const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60];
  const next = zoned.getTimeZoneTransition('next')?.epochMilliseconds ?? NEVER;
  return {
    from: at,
    to: next,
    offsetMs: minutes * MINUTE_MS,
    text: `${minutes < 0 ? '-' : '+'}${digits(hours, 2)}:${digits(rest, 2)}`,
  };
}

/** @param wall milliseconds since the beginning of 1970 by the clock on the wall */
function wallText(wall: number): string {
  const day = Math.floor(wall / DAY_MS);
  const ms = wall - day * DAY_MS;
  const [hours, minutes, seconds] = [ms / 3_600_000, (ms / MINUTE_MS) % 60, (ms / 1000) % 60].map(Math.floor);
  return `${dayText(day)}T${digits(hours, 2)}:${digits(minutes, 2)}:${digits(seconds, 2)}.${digits(ms % 1000, 3)}`;
}

const EPOCH_DAY = new Temporal.PlainDate(1970, 1, 1);
const days = new Map<number, string>();

function dayText(day: number): string {
  const had = days.get(day);
  if (had !== undefined) return had;
  if (days.size >= DAYS_KEPT) days.clear();
  const text = EPOCH_DAY.add({ days: day }).toString();
  days.set(day, text);
  return text;
}

function digits(number = 0, count: number): string {
  return String(number).padStart(count, '0');
}

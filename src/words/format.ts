/** Times and lengths as a person reads them, always in the site's own zone. */
import type { Instant } from '../domain/instant.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../domain/instant.ts';

const LOCALE = 'en-GB';
const formats = new Map<string, Intl.DateTimeFormat>();

function format(zone: string, name: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${zone} ${name}`;
  const known = formats.get(key);
  if (known !== undefined) return known;
  const made = new Intl.DateTimeFormat(LOCALE, { timeZone: zone, ...options });
  formats.set(key, made);
  return made;
}

/** `10:41` */
export function clockTime(at: Instant, zone: string): string {
  return format(zone, 'time', {
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(at);
}

/** `Mon 23 Nov` */
export function dayOf(at: Instant, zone: string): string {
  return format(zone, 'day', {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
  })
    .format(at)
    .replace(',', '');
}

/** `10:41` today, `Mon 23 Nov, 10:41` on any other day. */
export function when(at: Instant, now: Instant, zone: string): string {
  const time = clockTime(at, zone);
  return dayOf(at, zone) === dayOf(now, zone) && now - at < DAY_MS ? time : `${dayOf(at, zone)}, ${time}`;
}

/** A calendar day `2026-12-10` as `Thu 10 Dec`. */
export function calendarDay(day: string): string {
  return format('UTC', 'calendar', {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
  })
    .format(Date.parse(`${day}T12:00Z`))
    .replace(',', '');
}

/** The weekday of a calendar day `2026-12-10`: `Thursday`. */
export function weekdayName(day: string): string {
  return format('UTC', 'weekday', { weekday: 'long' }).format(Date.parse(`${day}T12:00Z`));
}

/** `under a minute`, `14 min`, `2 h 05`, `3 days` */
export function length(ms: number): string {
  if (ms < MINUTE_MS) return 'under a minute';
  if (ms < HOUR_MS) return `${Math.floor(ms / MINUTE_MS)} min`;
  if (ms < 2 * DAY_MS) {
    const minutes = String(Math.floor((ms % HOUR_MS) / MINUTE_MS)).padStart(2, '0');
    return `${Math.floor(ms / HOUR_MS)} h ${minutes}`;
  }
  return `${Math.floor(ms / DAY_MS)} days`;
}

/** `1 pair`, `3 pairs` */
export function count(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`;
}

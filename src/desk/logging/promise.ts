/** The day that is usually promised here, learnt from what this site has promised before. */
import type { PairState } from '../../domain/fold/pair-state.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import type { Job } from '../../domain/record/kinds.ts';
import type { SiteBook } from '../../domain/site-book.ts';

/** Until the site has promised anything: four weeks. Common practice, no source. */
const FIRST_DAYS = 28;
/** How many of the newest pairs of the same job are asked. */
const LOOK_BACK = 25;

/** The calendar day of an instant on the site's clock, `2026-12-10`. */
export function siteDay(at: Instant, zone: string): string {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
  }).formatToParts(at);
  const part = (type: string) => parts.find((one) => one.type === type)?.value ?? '';
  return `${part('year')}-${part('month')}-${part('day')}`;
}

/** Whether the text is a day of the calendar: `2026-02-30` is none. */
export function isDay(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && dayText(noon(text)) === text;
}

export interface UsualPromise {
  readonly day: string;
  readonly daysAhead: number;
}

/**
 * The middle of the lengths promised last for this job, from `today`, moved on to a weekday on which the site works.
 * @param pairs all that the desk knows
 */
export function usualPromise(
  pairs: Iterable<PairState>,
  book: Pick<SiteBook, 'timeZone' | 'shifts'>,
  job: Job,
  today: string,
): UsualPromise {
  const lengths = [...pairs]
    .flatMap(({ logged }) => (logged === null || logged.job !== job ? [] : [logged]))
    .sort((a, b) => b.at - a.at)
    .slice(0, LOOK_BACK)
    .map(({ at, promised }) => daysBetween(siteDay(at, book.timeZone), promised))
    .filter((days) => days >= 0)
    .sort((a, b) => a - b);
  const usual = lengths[Math.floor(lengths.length / 2)] ?? FIRST_DAYS;
  const day = nextWorkday(addDays(today, usual), book);
  return { day, daysAhead: daysBetween(today, day) };
}

function nextWorkday(day: string, { timeZone, shifts }: Pick<SiteBook, 'timeZone' | 'shifts'>): string {
  const workdays = new Set(shifts.map(({ from }) => weekday(siteDay(from, timeZone))));
  const ahead = [0, 1, 2, 3, 4, 5, 6].find((days) => workdays.has(weekday(addDays(day, days))));
  return addDays(day, ahead ?? 0);
}

function weekday(day: string): number {
  return new Date(noon(day)).getUTCDay();
}

function addDays(day: string, days: number): string {
  return dayText(noon(day) + days * DAY_MS);
}

function daysBetween(from: string, to: string): number {
  return Math.round((noon(to) - noon(from)) / DAY_MS);
}

/** Days are counted from noon to noon of UTC, where none is shorter than another. */
function noon(day: string): number {
  return Date.parse(`${day}T12:00Z`);
}

function dayText(at: number): string {
  return Number.isNaN(at) ? '' : new Date(at).toISOString().slice(0, 10);
}

/** Keeps the book's shifts ahead of the tablets, which carry no calendar of their own. */
import type { Calendar, ShiftRule } from '../domain/calendar/calendar.ts';
import { rulesOn, withRulesFrom } from '../domain/calendar/versions.ts';
import { dayOn } from '../domain/calendar/wall-time.ts';
import type { SiteId } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import type { SiteBook } from '../domain/site-book.ts';
import type { ServerLedger } from './ledger/ledger.ts';
import { isShort, shiftWindows } from './shift-windows.ts';

/** Writes the coming shifts into the book where it no longer holds them far enough. Done by several at once, it is done once. */
export async function renewShifts(ledger: ServerLedger, site: SiteId, now: Instant): Promise<SiteBook> {
  const calendar = await ledger.calendar(site);
  return ledger.changeBook(site, (book) =>
    isShort(book.shifts, calendar, book.timeZone, now) ? withShifts(book, calendar, now) : book,
  );
}

/** Changes the calendar, and at once the book. */
export async function changeCalendar(
  ledger: ServerLedger,
  site: SiteId,
  now: Instant,
  change: (calendar: Calendar) => Calendar,
): Promise<SiteBook> {
  await ledger.changeCalendar(site, change);
  // As it stands by now: of two changes at once, the book has both whichever comes last.
  const calendar = await ledger.calendar(site);
  return ledger.changeBook(site, (book) => withShifts(book, calendar, now));
}

/** The calendar with other rules from today on, on the site's own day. */
export function withRulesToday(
  calendar: Calendar,
  timeZone: string,
  now: Instant,
  change: (rules: readonly ShiftRule[]) => readonly ShiftRule[],
): Calendar {
  const today = dayOn(timeZone, now);
  return withRulesFrom(calendar, today, change(rulesOn(calendar, today)));
}

function withShifts(book: SiteBook, calendar: Calendar, now: Instant): SiteBook {
  return { ...book, shifts: [...shiftWindows(calendar, book.timeZone, now)] };
}

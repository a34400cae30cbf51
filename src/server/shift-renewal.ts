/** Keeps the book's shifts ahead of the tablets, which carry no calendar of their own. */
import type { SiteId } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import type { SiteBook } from '../domain/site-book.ts';
import type { ServerLedger } from './ledger/ledger.ts';
import { reachTooShort, type ShiftRule, shiftWindows } from './shift-windows.ts';

/** Writes the coming shifts into the book where it no longer reaches far enough. Done by several at once, it is done once. */
export async function renewShifts(ledger: ServerLedger, site: SiteId, now: Instant): Promise<SiteBook> {
  const rules = await ledger.shiftRules(site);
  return ledger.changeBook(site, (book) => {
    const idle = rules.length === 0 && book.shifts.length === 0;
    return idle || !reachTooShort(book.shifts, now) ? book : withShifts(book, rules, now);
  });
}

/** Changes the rules, and at once the book. */
export async function changeShiftRules(
  ledger: ServerLedger,
  site: SiteId,
  now: Instant,
  change: (rules: readonly ShiftRule[]) => readonly ShiftRule[],
): Promise<SiteBook> {
  const rules = change(await ledger.shiftRules(site));
  await ledger.setShiftRules(site, rules);
  return ledger.changeBook(site, (book) => withShifts(book, rules, now));
}

function withShifts(book: SiteBook, rules: readonly ShiftRule[], now: Instant): SiteBook {
  return { ...book, shifts: [...shiftWindows(rules, book.timeZone, now)] };
}

/** Whether figures about single persons may be shown for a shift: the site can do without them, and lets them lapse. */
import type { ShiftSpan } from '../../domain/calendar/calendar.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { SheetAnswer } from '../../wire/sheet.ts';

export function personalFigures(
  { personal }: SiteBook,
  { to }: Pick<ShiftSpan, 'to'>,
  now: Instant,
): SheetAnswer['personal'] {
  if (!personal.figures) return 'off';
  if (personal.keepDays !== null && to + personal.keepDays * DAY_MS < now) return 'lapsed';
  return 'asked-for';
}

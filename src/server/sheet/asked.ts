/** A question about a shift, with all that it is answered from as of one moment. */
import type { Calendar, ShiftSpan } from '../../domain/calendar/calendar.ts';
import { type Instant, MINUTE_MS } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { Standing } from '../ledger/ledger.ts';

export interface Asked {
  readonly standing: Standing;
  readonly book: SiteBook;
  readonly calendar: Calendar;
  readonly now: Instant;
}

/** The end of a shift that is over; to the minute while it runs, so that its numbers can be opened. */
export function momentOf(shift: ShiftSpan, now: Instant): Instant {
  return now >= shift.to ? shift.to : Math.max(shift.from, now - (now % MINUTE_MS));
}

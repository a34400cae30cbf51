/** One shift of one day, without breaks unless told, as a calendar or a book gives it. */
import type { Span } from '../../src/domain/calendar/calendar.ts';
import type { Instant } from '../../src/domain/instant.ts';
import type { Shift } from '../../src/domain/site-book.ts';

/** The day is that of Greenwich. */
export function oneShift(name: string, from: Instant, to: Instant, breaks: readonly Span[] = []): Shift {
  return {
    name,
    day: new Date(from).toISOString().slice(0, 10),
    from,
    to,
    breaks: [...breaks],
    overtime: false,
  };
}

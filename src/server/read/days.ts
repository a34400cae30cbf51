/** Days of a site's calendar as instants. */
import { dayAfter, instantOn } from '../../domain/calendar/wall-time.ts';
import type { Instant } from '../../domain/instant.ts';

export interface DayRange {
  readonly from: Instant;
  readonly to: Instant;
}

/**
 * From the beginning of one day to the end of another, both included.
 * @param days `2026-11-02`
 * @returns null where the last day lies before the first
 */
export function dayRange(
  days: { readonly from: string; readonly to: string },
  timeZone: string,
): DayRange | null {
  if (days.to < days.from) return null;
  const midnight = (day: string) => Math.max(0, instantOn(timeZone, day, '00:00'));
  return { from: midnight(days.from), to: midnight(dayAfter(days.to, 1)) };
}

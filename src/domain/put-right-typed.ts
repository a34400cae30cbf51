/** A day and a time as somebody types them, read in the site's time zone; in an hour that the clocks change it asks. */
import { howOften, instantOn } from './calendar/wall-time.ts';
import type { Instant } from './instant.ts';

export type TypedTime =
  | { readonly is: 'at'; readonly at: Instant }
  /** The clocks go back: the time came twice. */
  | { readonly is: 'twice'; readonly first: Instant; readonly second: Instant }
  /** The clocks go forward: there was no such time. */
  | { readonly is: 'never' }
  | { readonly is: 'unreadable' };

/** @param day `2026-12-10` @param time `16:30` */
export function typedTime(timeZone: string, day: string, time: string): TypedTime {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(day) || !/^([01]\d|2[0-3]):[0-5]\d$/.test(time))
    return { is: 'unreadable' };
  try {
    switch (howOften(timeZone, day, time)) {
      case 'once':
        return { is: 'at', at: instantOn(timeZone, day, time) };
      case 'twice':
        return {
          is: 'twice',
          first: instantOn(timeZone, day, time, 'first'),
          second: instantOn(timeZone, day, time, 'second'),
        };
      case 'never':
        return { is: 'never' };
    }
  } catch (cause) {
    // A 31st of February.
    if (cause instanceof RangeError) return { is: 'unreadable' };
    throw cause;
  }
}

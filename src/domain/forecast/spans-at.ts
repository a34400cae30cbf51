/** Which shift an instant falls in, of shifts in the order of their beginnings. */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { Instant } from '../instant.ts';

/** Further back than so many shifts none is looked for: no shift is so long. */
const OVERLAP_MOST = 8;

/** All that hold the instant, the one that began last first. */
export function spansAt(shifts: readonly ShiftSpan[], at: Instant): readonly ShiftSpan[] {
  let [low, high] = [0, shifts.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((shifts[middle]?.from ?? 0) > at) high = middle;
    else low = middle + 1;
  }
  return shifts
    .slice(Math.max(0, low - OVERLAP_MOST), low)
    .filter(({ to }) => at < to)
    .reverse();
}

export function spanAt(shifts: readonly ShiftSpan[], at: Instant): ShiftSpan | null {
  return spansAt(shifts, at)[0] ?? null;
}

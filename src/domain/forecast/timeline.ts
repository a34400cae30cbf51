/**
 * The forecast counts time in whole ticks from now. Elapsed time is a number of ticks; working time is read from a
 * table of prefix sums, so that the end of any piece of work is one look-up and no search.
 */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { Instant } from '../instant.ts';

export interface Timeline {
  readonly now: Instant;
  readonly tickMs: number;
  /** How far it reaches; what is not ready by then has no date. */
  readonly ticks: number;
}

export function tickOf({ now, tickMs }: Timeline, at: Instant): number {
  return Math.floor((at - now) / tickMs);
}

export function instantOf({ now, tickMs }: Timeline, tick: number): Instant {
  return now + tick * tickMs;
}

export interface TickClock {
  /** Working ticks before each tick; one entry more than there are ticks. */
  readonly worked: Int32Array;
  /** The tick at which so many working ticks have passed; none are left beyond its end. */
  readonly at: Int32Array;
}

/** The clock of whoever works these shifts: a tick is worked if its middle is in a shift and in no break. */
export function tickClock(timeline: Timeline, shifts: readonly ShiftSpan[]): TickClock {
  const { now, tickMs, ticks } = timeline;
  const works = new Uint8Array(ticks);
  const mark = (from: Instant, to: Instant, as: 0 | 1) => {
    const first = Math.ceil((from - now) / tickMs - 0.5);
    works.fill(as, Math.max(0, first), Math.max(0, Math.ceil((to - now) / tickMs - 0.5)));
  };
  for (const { from, to } of shifts) mark(from, to, 1);
  for (const { breaks } of shifts) for (const { from, to } of breaks) mark(from, to, 0);
  const worked = new Int32Array(ticks + 1);
  for (let tick = 0; tick < ticks; tick += 1) worked[tick + 1] = (worked[tick] ?? 0) + (works[tick] ?? 0);
  const at = new Int32Array((worked[ticks] ?? 0) + 1);
  for (let tick = ticks; tick > 0; tick -= 1) at[worked[tick] ?? 0] = tick;
  return { worked, at };
}

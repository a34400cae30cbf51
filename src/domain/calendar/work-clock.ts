/**
 * Working time: what passes within shifts, breaks left out, in elapsed milliseconds. A clock that stands still between
 * shifts and in breaks; where shifts overlap it runs once, and it runs as long as one of them works.
 */
import type { Instant } from '../instant.ts';
import type { ShiftSpan, Span } from './calendar.ts';

/** The working time of one shift within [from, to), in milliseconds. */
export function workedMs(shift: ShiftSpan, from: Instant, to: Instant): number {
  return shift.breaks.reduce((ms, pause) => ms - common(pause, from, to), common(shift, from, to));
}

/** The working time of all shifts within [from, to), in milliseconds; 0 where `to` is before `from`. */
export function workedBetween(shifts: readonly ShiftSpan[], from: Instant, to: Instant): number {
  if (to <= from) return 0;
  const clock = workClock(shifts.filter((shift) => shift.from < to && shift.to > from));
  return clock.worked(to) - clock.worked(from);
}

/**
 * The first instant, `from` or later, by which `ms` of working time have passed since `from`; null where the shifts
 * end sooner. Asked more than a few times, make a `workClock` once.
 */
export function addWorked(shifts: readonly ShiftSpan[], from: Instant, ms: number): Instant | null {
  return workClock(shifts).add(from, ms);
}

export function workClock(shifts: readonly ShiftSpan[]): WorkClock {
  return new WorkClock(joined(shifts.flatMap(workingSpans)));
}

/** Each question costs a binary search. Neither list nor clock changes. */
export class WorkClock {
  readonly #from: Float64Array;
  readonly #to: Float64Array;
  /** The working time before each span, and last of all of them. */
  readonly #before: Float64Array;

  /** @param spans of work, by their beginning and apart from each other; `workClock` makes them of shifts */
  constructor(spans: readonly Span[]) {
    this.#from = Float64Array.from(spans, ({ from }) => from);
    this.#to = Float64Array.from(spans, ({ to }) => to);
    this.#before = new Float64Array(spans.length + 1);
    for (const [index, { from, to }] of spans.entries()) {
      this.#before[index + 1] = entry(this.#before, index) + (to - from);
    }
  }

  /** All the working time that there is, in milliseconds. */
  get totalMs(): number {
    return entry(this.#before, this.#from.length);
  }

  /** Working time from the first shift's beginning to `instant`, in milliseconds. */
  worked(instant: Instant): number {
    const next = firstAbove(this.#from, instant);
    if (next === 0) return 0;
    const last = next - 1;
    const end = Math.min(instant, entry(this.#to, last));
    return entry(this.#before, last) + end - entry(this.#from, last);
  }

  /**
   * The first instant by which so much working time has passed since the first shift's beginning, and that beginning
   * for 0; null where there is less of it. `worked(at(ms))` is `ms`; `at(worked(instant))` is `instant` while work goes on.
   */
  at(ms: number): Instant | null {
    if (this.#from.length === 0 || ms > this.totalMs) return null;
    if (ms <= 0) return entry(this.#from, 0);
    const index = firstNotBelow(this.#before, ms) - 1;
    return entry(this.#from, index) + (ms - entry(this.#before, index));
  }

  /** As `addWorked`. @param ms 0 or more */
  add(from: Instant, ms: number): Instant | null {
    if (ms <= 0) return from;
    const end = this.at(this.worked(from) + ms);
    return end === null ? null : Math.max(from, end);
  }

  /** The first instant, `from` or later, at which work goes on; null where none is left. */
  next(from: Instant): Instant | null {
    const index = firstAbove(this.#to, from);
    return index === this.#to.length ? null : Math.max(from, entry(this.#from, index));
  }
}

function workingSpans({ from, to, breaks }: ShiftSpan): readonly Span[] {
  const begins = [from, ...breaks.map((pause) => pause.to)];
  const ends = [...breaks.map((pause) => pause.from), to];
  return begins.map((begin, index) => ({ from: begin, to: ends[index] ?? to }));
}

/** Their union, by beginning; spans that touch are one. */
function joined(spans: readonly Span[]): readonly Span[] {
  const union: { from: Instant; to: Instant }[] = [];
  for (const { from, to } of [...spans].sort((a, b) => a.from - b.from)) {
    const last = union.at(-1);
    if (from >= to) continue;
    if (last !== undefined && from <= last.to) last.to = Math.max(last.to, to);
    else union.push({ from, to });
  }
  return union;
}

function common(span: Span, from: Instant, to: Instant): number {
  return Math.max(0, Math.min(span.to, to) - Math.max(span.from, from));
}

/** The index of the first number above `value` in a rising list, or the list's length. */
function firstAbove(rising: Float64Array, value: number): number {
  let [low, high] = [0, rising.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (entry(rising, middle) > value) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** The index of the first number that is `value` or above. */
function firstNotBelow(rising: Float64Array, value: number): number {
  let [low, high] = [0, rising.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (entry(rising, middle) >= value) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Within its bounds, where the compiler cannot see it. */
function entry(list: Float64Array, index: number): number {
  return list[index] as number;
}

/**
 * What of a stretch of time is no working time by the calendar. Breaks are, unless another shift works through them. So is
 * what lies between two shifts, for a spell that goes on from the one into the other: nobody means that it was worked on
 * all night. Work that begins or ends outside any shift counts in full, for there somebody was.
 */
import type { ShiftSpan, Span } from '../calendar/calendar.ts';
import type { Instant } from '../instant.ts';
import { union, without } from './spans.ts';

export class OffTime {
  readonly #breaks: readonly Span[];
  readonly #gaps: readonly Span[];

  /** @param shifts in any order; they may overlap */
  constructor(shifts: readonly ShiftSpan[]) {
    const covered = union(shifts);
    const worked = union(shifts.flatMap((shift) => without(shift, union(shift.breaks))));
    this.#breaks = covered.flatMap((span) => without(span, worked));
    this.#gaps = covered.slice(1).map(({ from }, index) => ({ from: covered[index]?.to ?? from, to: from }));
  }

  /** The span without breaks. */
  withoutBreaks(span: Span): readonly Span[] {
    return without(span, near(this.#breaks, span));
  }

  /** What of a spell is working time. */
  workedOf(spell: Span): readonly Span[] {
    const across = near(this.#gaps, spell).filter(({ from, to }) => spell.from < from && to < spell.to);
    if (across.length === 0) return this.withoutBreaks(spell);
    return without(spell, across).flatMap((part) => this.withoutBreaks(part));
  }
}

/** Those of a list in order that can touch the span, found by halving: a year has many breaks and a spell is short. */
function near(spans: readonly Span[], { from, to }: Span): readonly Span[] {
  const first = firstEndingAfter(spans, from);
  let last = first;
  while ((spans[last]?.from ?? to) < to) last += 1;
  return spans.slice(first, last);
}

function firstEndingAfter(spans: readonly Span[], at: Instant): number {
  let [low, high] = [0, spans.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((spans[middle]?.to ?? 0) > at) high = middle;
    else low = middle + 1;
  }
  return low;
}

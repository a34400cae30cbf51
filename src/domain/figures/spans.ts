/** Lists of spans of time: in order and apart from each other, each from its beginning to just before its end. */
import type { Span } from '../calendar/calendar.ts';
import type { Instant } from '../instant.ts';

export const ALWAYS: Span = { from: Number.NEGATIVE_INFINITY, to: Number.POSITIVE_INFINITY };

/** All instants that are in any of them; spans that touch are one. */
export function union(spans: readonly Span[]): readonly Span[] {
  const joined: { from: Instant; to: Instant }[] = [];
  for (const { from, to } of spans.toSorted((a, b) => a.from - b.from)) {
    const last = joined.at(-1);
    if (from >= to) continue;
    if (last !== undefined && from <= last.to) last.to = Math.max(last.to, to);
    else joined.push({ from, to });
  }
  return joined;
}

/** What of them lies within `span`. */
export function within(spans: readonly Span[], span: Span): readonly Span[] {
  return spans
    .filter(({ from, to }) => from < span.to && to > span.from)
    .map(({ from, to }) => ({ from: Math.max(from, span.from), to: Math.min(to, span.to) }));
}

/** The span without what is in `off`, a list in order and apart. */
export function without(span: Span, off: readonly Span[]): readonly Span[] {
  const left: Span[] = [];
  let { from } = span;
  for (const gone of off) {
    if (gone.to <= from) continue;
    if (gone.from >= span.to) break;
    if (gone.from > from) left.push({ from, to: gone.from });
    from = gone.to;
  }
  if (from < span.to) left.push({ from, to: span.to });
  return left;
}

/** Milliseconds, of spans that are apart. */
export function lengthOf(spans: readonly Span[]): number {
  return spans.reduce((ms, { from, to }) => ms + (to - from), 0);
}

/** Whether the span holds the instant; its end is not its own. */
export function holds(
  { from, to }: { readonly from: Instant; readonly to: Instant | null },
  at: Instant,
): boolean {
  return from <= at && (to === null || at < to);
}

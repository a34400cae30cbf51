/**
 * How long a hand was on: badged on, or in work. A hand who sews for an hour touches no tablet, and a tablet that nobody
 * touches badges its hand off; so what was worked counts as well as what was badged.
 */
import type { Span } from '../calendar/calendar.ts';
import type { OperativeId } from '../ids.ts';
import type { Presence } from './attendance.ts';
import type { OffTime } from './off-time.ts';
import { lengthOf, union, within } from './spans.ts';
import type { HandWork } from './touch.ts';

/** Milliseconds within the span, breaks taken off; never less than the hand's touch time in this work. */
export function onTimeOf(
  hand: OperativeId,
  presences: readonly Presence[],
  work: readonly HandWork[],
  span: Span,
  off: OffTime,
): number {
  const badged = presences
    .filter((presence) => presence.hand === hand)
    .flatMap((presence) => off.withoutBreaks(presence));
  const worked = work.filter((part) => part.hand === hand).flatMap((part) => part.worked);
  return lengthOf(union(within([...badged, ...worked], span)));
}

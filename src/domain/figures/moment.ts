/** What of a spell has to do with one shift, seen from one moment of it. */
import type { ShiftSpan, Span } from '../calendar/calendar.ts';
import type { Instant } from '../instant.ts';
import type { SpellFacts } from './facts.ts';
import { holds } from './spans.ts';

export interface Moment {
  readonly shift: ShiftSpan;
  /** The end of the shift, or an instant within it while it runs. */
  readonly at: Instant;
}

/** The shift up to the moment. */
export function spanOf({ shift, at }: Moment): Span {
  return { from: shift.from, to: at };
}

/** Whether nobody scanned this work: then nobody clocked in to it. */
function isUnscanned({ id, endedBy, timed }: SpellFacts): boolean {
  return id === endedBy && !timed;
}

export function isBegunIn(spell: SpellFacts, span: Span): boolean {
  return holds(span, spell.from) && !isUnscanned(spell);
}

export function isEndedIn({ to }: SpellFacts, span: Span): boolean {
  return to !== null && holds(span, to);
}

export function isFinishedIn(spell: SpellFacts, span: Span): boolean {
  return spell.outcome === 'done' && isEndedIn(spell, span);
}

/** Whether somebody works on it, as far as is known: what was left open by an earlier shift is in question instead. */
export function isInWork(spell: SpellFacts, { shift, at }: Moment): boolean {
  if (spell.to === null) return at < shift.to && shift.from <= spell.from && spell.from <= at;
  return spell.timed && holds(spell, at);
}

/** Whether the shift knows of it, and nobody knows when it ended. */
export function isEndUnknown(spell: SpellFacts, { shift, at }: Moment): boolean {
  const { from, to, timed } = spell;
  if (from >= at) return false;
  if (to === null) return at >= shift.to || from < shift.from;
  return !timed && to >= shift.from;
}

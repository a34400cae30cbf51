/**
 * A calendar's shifts as instants. A shift belongs to the day on which it begins; it may cross midnight, and on a
 * night when the clocks change it is an hour shorter or longer.
 */
import { Temporal } from 'temporal-polyfill';
import type { Instant } from '../instant.ts';
import type { Calendar, Overtime, ShiftRule, ShiftSpan, Span } from './calendar.ts';
import { rulesOn, shutOn } from './versions.ts';
import { dayAfter, dayOn, type Wall, wallOf, weekdayOf } from './wall-time.ts';

/** A shift of 24 hours reaches into the day after, and where the clocks skip a whole day into the one after that. */
const DAYS_BEFORE = 2;

/**
 * Every shift that overlaps [from, to), by its beginning and then its end; one that the clocks leave no time for is
 * left out.
 * @param timeZone an IANA name
 * @throws RangeError when there is no such time zone
 */
export function shiftsBetween(
  calendar: Calendar,
  timeZone: string,
  from: Instant,
  to: Instant,
): readonly ShiftSpan[] {
  if (to <= from) return [];
  const first = dayAfter(dayOn(timeZone, from), -DAYS_BEFORE);
  const last = dayOn(timeZone, to);
  const wall = wallOf(timeZone);
  return daysFrom(first, last)
    .flatMap((day) => spansOn(calendar, wall, day))
    .filter((shift) => shift.from < to && shift.to > from)
    .sort(byBeginning);
}

/** The shifts that begin on one day of the site's calendar, by their beginning. */
export function shiftsOn(calendar: Calendar, timeZone: string, day: string): readonly ShiftSpan[] {
  return [...spansOn(calendar, wallOf(timeZone), day)].sort(byBeginning);
}

/** The first shift that `at` falls in, its end not included; null between shifts. */
export function shiftAt<Shift extends Span>(shifts: readonly Shift[], at: Instant): Shift | null {
  return shifts.find(({ from, to }) => from <= at && at < to) ?? null;
}

/** Of the shifts that have ended at `at`, the one that ended last. With a shift's beginning: the shift before it. */
export function shiftBefore<Shift extends Span>(shifts: readonly Shift[], at: Instant): Shift | null {
  return shifts.reduce<Shift | null>(
    (before, shift) => (shift.to <= at && shift.to >= (before?.to ?? shift.to) ? shift : before),
    null,
  );
}

function spansOn(calendar: Calendar, wall: Wall, day: string): readonly ShiftSpan[] {
  const weekday = weekdayOf(day);
  const regular = shutOn(calendar, day) === null ? rulesOn(calendar, day) : [];
  return [
    ...regular.filter(({ days }) => days.includes(weekday)).map((rule) => spanOf(rule, wall, day, false)),
    ...calendar.overtime
      .filter((overtime) => overtime.day === day)
      .map((overtime) => spanOf(overtime, wall, day, true)),
  ].filter(({ from, to }) => from < to);
}

type OnTheWall = Pick<ShiftRule | Overtime, 'name' | 'from' | 'to' | 'breaks'>;

function spanOf(rule: OnTheWall, wall: Wall, day: string, overtime: boolean): ShiftSpan {
  const span = onTheWall(wall, day, rule);
  const crosses = rule.to <= rule.from;
  const breaks = rule.breaks.map((pause) =>
    onTheWall(wall, crosses && pause.from < rule.from ? dayAfter(day, 1) : day, pause),
  );
  return { name: rule.name, day, ...span, breaks: apart(breaks, span), overtime };
}

/** At or before `from`, `to` is on the day after. */
function onTheWall(wall: Wall, day: string, { from, to }: { from: string; to: string }): Span {
  return {
    from: wall(day, from),
    to: wall(to <= from ? dayAfter(day, 1) : day, to),
  };
}

/** Breaks cut to the shift and in order; those that touch are one. */
function apart(breaks: readonly Span[], shift: Span): readonly Span[] {
  const within = breaks
    .map(({ from, to }) => ({ from: Math.max(from, shift.from), to: Math.min(to, shift.to) }))
    .filter(({ from, to }) => from < to)
    .sort((a, b) => a.from - b.from);
  const joined: { from: Instant; to: Instant }[] = [];
  for (const pause of within) {
    const last = joined.at(-1);
    if (last !== undefined && pause.from <= last.to) last.to = Math.max(last.to, pause.to);
    else joined.push(pause);
  }
  return joined;
}

function byBeginning(a: ShiftSpan, b: ShiftSpan): number {
  return a.from - b.from || a.to - b.to;
}

function daysFrom(first: string, last: string): readonly string[] {
  const day = Temporal.PlainDate.from(first);
  const count = day.until(last, { largestUnit: 'days' }).days + 1;
  return Array.from({ length: Math.max(0, count) }, (_, index) => day.add({ days: index }).toString());
}

/**
 * A site's calendar as somebody at a desk wants it: the shifts from today on, and shut days and overtime that are still
 * to come. What lies in the past stays as it was, since the sheets of then are computed from it.
 */
import type { Calendar, Overtime, ShiftRule, ShutDays } from './calendar.ts';
import { rulesOn, withRulesFrom } from './versions.ts';
import { dayAfter } from './wall-time.ts';
import { holdsBreak } from './within.ts';

export interface CalendarAhead {
  readonly rules: readonly ShiftRule[];
  readonly shut: readonly ShutDays[];
  readonly overtime: readonly Overtime[];
}

/** Why it cannot stand, and in which of its lines, counted from 0. */
export interface CalendarFault {
  readonly in: 'rules' | 'shut' | 'overtime';
  readonly line: number;
  readonly fault: 'no-name' | 'no-days' | 'no-time' | 'break-outside' | 'backwards' | 'past' | 'twice';
}

/** What a desk can change. @param today the site's day, `2026-12-10` */
export function calendarAhead(calendar: Calendar, today: string): CalendarAhead {
  return {
    rules: rulesOn(calendar, today),
    shut: calendar.shut.filter(({ to }) => to >= today),
    overtime: calendar.overtime.filter(({ day }) => day >= today),
  };
}

/** The calendar with what lies ahead replaced; the same object where nothing is another. */
export function withCalendarAhead(calendar: Calendar, today: string, wanted: CalendarAhead): Calendar {
  const before = calendarAhead(calendar, today);
  if (isSame(before, wanted)) return calendar;
  const ruled = isSame(before.rules, wanted.rules) ? calendar : withRulesFrom(calendar, today, wanted.rules);
  return {
    ...ruled,
    shut: [...shutUntil(calendar, today, wanted), ...wanted.shut].sort(byDay(({ from }) => from)),
    overtime: [...calendar.overtime.filter(({ day }) => day < today), ...wanted.overtime].sort(
      byDay(({ day, from }) => `${day} ${from}`),
    ),
  };
}

/** What was shut before today stays so: of days under way that are no longer wanted, those that are over. */
function shutUntil({ shut }: Calendar, today: string, wanted: CalendarAhead): readonly ShutDays[] {
  const yesterday = dayAfter(today, -1);
  return shut
    .filter(({ from }) => from < today)
    .map((days) => (days.to < today ? days : { ...days, to: yesterday }))
    .filter(({ from, to }) => !wanted.shut.some((one) => one.from <= from && to <= one.to));
}

/** The faults of each line, of which nothing may be kept. Days and times may be empty: somebody has not typed them yet. */
export function calendarFaults(wanted: CalendarAhead, today: string): readonly CalendarFault[] {
  return [
    ...wanted.rules.flatMap((rule, line) =>
      faults('rules', line, [
        ['no-name', rule.name.trim() === ''],
        ['no-days', rule.days.length === 0],
        ['no-time', !hasTimes(rule)],
        ['break-outside', !breaksWithin(rule, sharing(wanted.rules, rule))],
        ['twice', wanted.rules.slice(0, line).some((other) => onOneDay(other, rule))],
      ]),
    ),
    ...wanted.shut.flatMap(({ from, to, name }, line) =>
      faults('shut', line, [
        ['no-name', name.trim() === ''],
        ['no-time', from === '' || to === ''],
        ['backwards', to < from],
        ['past', to !== '' && to < today],
      ]),
    ),
    ...wanted.overtime.flatMap((overtime, line) =>
      faults('overtime', line, [
        ['no-name', overtime.name.trim() === ''],
        ['no-time', overtime.day === '' || !hasTimes(overtime)],
        ['past', overtime.day !== '' && overtime.day < today],
        ['break-outside', !breaksWithin(overtime, [overtime])],
        ['twice', wanted.overtime.slice(0, line).some((other) => isSameOvertime(other, overtime))],
      ]),
    ),
  ];
}

function faults(
  where: CalendarFault['in'],
  line: number,
  found: readonly (readonly [CalendarFault['fault'], boolean])[],
): readonly CalendarFault[] {
  return found.filter(([, holds]) => holds).map(([fault]) => ({ in: where, line, fault }));
}

type Timed = Pick<ShiftRule, 'from' | 'to' | 'breaks'>;

function hasTimes({ from, to, breaks }: Timed): boolean {
  return [from, to, ...breaks.flatMap((pause) => [pause.from, pause.to])].every((time) => time !== '');
}

/** Friday's shift may end before the last break of the others of its name. */
function breaksWithin(of: Timed, shifts: readonly Timed[]): boolean {
  return !hasTimes(of) || of.breaks.every((pause) => shifts.some((shift) => holdsBreak(shift, pause)));
}

function sharing(rules: readonly ShiftRule[], { name }: ShiftRule): readonly ShiftRule[] {
  return rules.filter((rule) => rule.name === name && hasTimes(rule));
}

/** Two shifts of one name would begin on the same day. */
function onOneDay(one: ShiftRule, other: ShiftRule): boolean {
  return one.name === other.name && one.days.some((day) => other.days.includes(day));
}

function isSameOvertime(one: Overtime, other: Overtime): boolean {
  return one.day === other.day && one.name === other.name;
}

function isSame<Part>(one: Part, other: Part): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

function byDay<Item>(of: (item: Item) => string): (one: Item, other: Item) => number {
  return (one, other) => (of(one) < of(other) ? -1 : Number(of(one) > of(other)));
}

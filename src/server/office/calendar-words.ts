/** How the calendar is typed and said at a terminal. */
import type { Calendar, Overtime, ShiftRule } from '../../domain/calendar/calendar.ts';
import { holdsBreak } from '../../domain/calendar/within.ts';
import { Refusal } from './refusal.ts';

/** ISO 8601: the week begins on Monday. */
const DAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const NO_BREAKS = 'none';

type OnTheWall = Pick<ShiftRule, 'name' | 'from' | 'to' | 'breaks'>;

/** `Day: mon fri, 07:00 to 15:30, breaks 09:00-09:15` */
export function ruleLine(rule: ShiftRule): string {
  return `${rule.name}: ${rule.days.map((day) => DAYS[day - 1]).join(' ')}, ${wallLine(rule)}`;
}

export function shutLine({ from, to, name }: Calendar['shut'][number]): string {
  return `${from === to ? from : `${from} to ${to}`}: ${name}`;
}

export function overtimeLine(overtime: Overtime): string {
  return `${overtime.day}: ${overtime.name}, ${wallLine(overtime)}`;
}

function wallLine({ from, to, breaks }: OnTheWall): string {
  const until = to <= from ? `${to} of the day after` : to;
  const pauses = breaks.map((pause) => `${pause.from}-${pause.to}`).join(' ');
  return `${from} to ${until}${pauses === '' ? '' : `, breaks ${pauses}`}`;
}

/** ISO 8601 weekdays. @throws Refusal */
export function daysIn(list: string): readonly number[] {
  return list.split(',').map((word) => {
    const day = (DAYS as readonly string[]).indexOf(word.trim().toLowerCase());
    if (day < 0) throw new Refusal(`--days: ${word} is none of ${DAYS.join(', ')}.`);
    return day + 1;
  });
}

/** `09:00-09:15,11:30-12:00`, or `none`. @throws Refusal */
export function breaksIn(list: string): ShiftRule['breaks'] {
  if (list.trim().toLowerCase() === NO_BREAKS) return [];
  return list.split(',').map((word) => {
    const [, from, to] = /^(\d\d:\d\d)-(\d\d:\d\d)$/.exec(word.trim()) ?? [];
    if (from === undefined || to === undefined) {
      throw new Refusal(`--breaks: ${word} is no break as 09:00-09:15; or ${NO_BREAKS}.`);
    }
    return { from, to };
  });
}

/**
 * Each break, the same for all the shifts, lies wholly within one of them: Friday's may end before the last break of
 * the others. @throws Refusal
 */
export function refuseBreaksOutside(shifts: readonly OnTheWall[]): void {
  const outside = shifts[0]?.breaks.find((pause) => !shifts.some((shift) => holdsBreak(shift, pause)));
  if (outside === undefined) return;
  const named = shifts.map((shift) => `${shift.from} to ${shift.to}`).join(' or ');
  throw new Refusal(`--breaks: ${outside.from}-${outside.to} is not within ${named}.`);
}

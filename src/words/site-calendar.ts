/** Every sentence of the site's shifts, shut days and overtime, and of what is shown about single persons. */
import type { CalendarFault } from '../domain/calendar/changes.ts';

/** ISO 8601: the week begins on Monday. */
export const weekdays = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

export const calendarFaultLines: Readonly<Record<CalendarFault['fault'], string>> = {
  'no-name': 'It has no name.',
  'no-days': 'It has no day of the week.',
  'no-time': 'A day or a time is missing.',
  'break-outside': 'A break lies outside the shift.',
  backwards: 'It ends before it begins.',
  past: 'It is over already.',
  twice: 'There is another of that name on that day.',
};

export const calendarWords = {
  asking: 'Asking the server for the calendar',
  shifts: 'Shifts',
  shiftsHint: 'They hold from today on. Sheets of the days before stay as they were counted.',
  noShifts: 'There are no shifts: sheets and figures need them.',
  shut: 'Days on which the works are shut',
  shutHint: 'No shift begins on these days; overtime does.',
  noShut: 'None ahead.',
  overtime: 'Overtime',
  overtimeHint: 'A shift of one day, beside those of the week.',
  noOvertime: 'None ahead.',

  name: 'Name',
  from: 'From',
  to: 'To',
  day: 'Day',
  firstDay: 'First day',
  lastDay: 'Last day',
  days: 'Begins on',
  breaks: 'Breaks',
  breakFrom: 'Break from',
  breakTo: 'to',
  nextDay: 'ends on the day after',
  addBreak: 'Add a break',
  dropBreak: 'Drop this break',
  addShift: 'Add a shift',
  addShut: 'Add shut days',
  addOvertime: 'Add overtime',
  drop: (what: string) => (what === '' ? 'Drop this line' : `Drop ${what}`),
  shift: (name: string) => (name === '' ? 'New shift' : name),

  save: 'Save the calendar',
  saving: 'Saving',
  unsaved: 'The calendar is changed and not saved yet.',
  saved: 'Saved. Each bench takes it over when it next reaches the server.',
  dropAll: 'Drop the changes',
  overtaken:
    'The calendar was changed elsewhere in the meantime. It is shown as it is now: make your changes again.',
  refused:
    'The server did not take it from whoever is at the desk. Only a supervisor can change the calendar.',
};

export const personalWords = {
  title: 'Figures about single persons',
  hint:
    'Who was on for how long, and for how long on pairs: shown for a badge alone, a supervisor sees all and everybody else their ' +
    'own. Ask whoever speaks for the people here, and what the law where you are says, before you switch them on.',
  on: 'Show figures about single persons',
  limit: 'Only for so many days after the shift',
  keepDays: 'Days',
  forEver: 'They are shown for as long as there are records.',
  off: 'Nobody is shown any. The records stay: a pair’s own account still names who worked on it.',
  days: 'Between 1 and 3660 days.',
};

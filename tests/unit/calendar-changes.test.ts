/** A calendar changed at a desk: what lies ahead is replaced, what is past stays, and what cannot be is named by its line. */
import { describe, expect, test } from 'vitest';
import type { Calendar, Overtime, ShiftRule } from '../../src/domain/calendar/calendar.ts';
import {
  type CalendarAhead,
  calendarAhead,
  calendarFaults,
  withCalendarAhead,
} from '../../src/domain/calendar/changes.ts';
import { rulesOn } from '../../src/domain/calendar/versions.ts';
import { holdsBreak } from '../../src/domain/calendar/within.ts';

const TODAY = '2026-11-25';
const EARLY: ShiftRule = {
  name: 'Early',
  days: [1, 2, 3, 4, 5],
  from: '06:00',
  to: '14:00',
  breaks: [{ from: '09:00', to: '09:15' }],
};
const LATE: ShiftRule = { ...EARLY, name: 'Late', from: '14:00', to: '22:00', breaks: [] };
const SATURDAY: Overtime = { day: '2026-11-28', name: 'Saturday', from: '07:00', to: '12:00', breaks: [] };
const PAST: Overtime = { ...SATURDAY, day: '2026-11-07' };
const CALENDAR: Calendar = {
  versions: [{ since: null, rules: [EARLY] }],
  shut: [
    { from: '2026-08-03', to: '2026-08-14', name: 'Summer' },
    { from: '2026-12-24', to: '2027-01-01', name: 'Christmas' },
  ],
  overtime: [PAST, SATURDAY],
};

const ahead = (told: Partial<CalendarAhead> = {}): CalendarAhead => ({
  ...calendarAhead(CALENDAR, TODAY),
  ...told,
});
const faultsOf = (told: Partial<CalendarAhead>) =>
  calendarFaults(ahead(told), TODAY).map(({ in: where, line, fault }) => `${where} ${line} ${fault}`);

describe('what lies ahead', () => {
  test('is the shifts that hold today, and shut days and overtime that are not over', () => {
    expect(ahead()).toEqual({ rules: [EARLY], shut: [CALENDAR.shut[1]], overtime: [SATURDAY] });
  });

  test('unchanged it is the very same calendar', () => {
    expect(withCalendarAhead(CALENDAR, TODAY, ahead())).toBe(CALENDAR);
  });

  test('changed shifts hold from today on, and those of yesterday stay', () => {
    const after = withCalendarAhead(CALENDAR, TODAY, ahead({ rules: [EARLY, LATE] }));
    expect(rulesOn(after, TODAY)).toEqual([EARLY, LATE]);
    expect(rulesOn(after, '2026-11-24')).toEqual([EARLY]);
  });

  test('shut days and overtime that are taken away leave the past alone', () => {
    const after = withCalendarAhead(CALENDAR, TODAY, ahead({ shut: [], overtime: [] }));
    expect(after.shut).toEqual([CALENDAR.shut[0]]);
    expect(after.overtime).toEqual([PAST]);
    expect(after.versions).toEqual(CALENDAR.versions);
  });

  test('stands by day, whatever the order in which it was typed', () => {
    const sunday = { ...SATURDAY, day: '2026-11-29' };
    const early = { from: '2026-11-30', to: '2026-11-30', name: 'Stocktaking' };
    const after = withCalendarAhead(
      CALENDAR,
      TODAY,
      ahead({ overtime: [sunday, SATURDAY], shut: [...ahead().shut, early] }),
    );
    expect(after.overtime).toEqual([PAST, SATURDAY, sunday]);
    expect(after.shut.map(({ name }) => name)).toEqual(['Summer', 'Stocktaking', 'Christmas']);
  });
});

describe('what cannot be', () => {
  test('nothing of it', () => expect(faultsOf({})).toEqual([]));

  test('lines that are not filled in', () => {
    expect(faultsOf({ rules: [{ ...EARLY, name: ' ', days: [], from: '' }] })).toEqual([
      'rules 0 no-name',
      'rules 0 no-days',
      'rules 0 no-time',
    ]);
    expect(faultsOf({ shut: [{ from: TODAY, to: '', name: '' }] })).toContain('shut 0 no-time');
    expect(faultsOf({ overtime: [{ ...SATURDAY, day: '' }] })).toEqual(['overtime 0 no-time']);
  });

  test('a break outside its shift, unless another shift of that name holds it', () => {
    const late = [{ from: '13:50', to: '14:10' }];
    expect(faultsOf({ rules: [{ ...EARLY, breaks: late }] })).toEqual(['rules 0 break-outside']);
    const friday: ShiftRule = { ...EARLY, days: [5], to: '12:00', breaks: [{ from: '12:30', to: '13:00' }] };
    expect(faultsOf({ rules: [friday] })).toEqual(['rules 0 break-outside']);
    expect(faultsOf({ rules: [{ ...EARLY, days: [1] }, friday] })).toEqual([]);
    expect(faultsOf({ overtime: [{ ...SATURDAY, breaks: late }] })).toEqual(['overtime 0 break-outside']);
  });

  test('days that end before they begin, or are over', () => {
    expect(faultsOf({ shut: [{ from: '2026-12-24', to: '2026-12-23', name: 'X' }] })).toEqual([
      'shut 0 backwards',
    ]);
    expect(faultsOf({ shut: [{ from: '2026-11-01', to: '2026-11-02', name: 'X' }] })).toEqual([
      'shut 0 past',
    ]);
    expect(faultsOf({ overtime: [PAST] })).toEqual(['overtime 0 past']);
  });

  test('the same shift twice on one day', () => {
    expect(faultsOf({ rules: [EARLY, { ...EARLY, days: [5] }] })).toEqual(['rules 1 twice']);
    expect(faultsOf({ rules: [EARLY, { ...EARLY, days: [6] }] })).toEqual([]);
    expect(faultsOf({ overtime: [SATURDAY, SATURDAY] })).toEqual(['overtime 1 twice']);
  });
});

test.each([
  ['22:00', '06:00', '23:45', '00:15', true],
  ['22:00', '06:00', '05:45', '06:15', false],
  ['22:00', '06:00', '12:00', '12:30', false],
  ['06:00', '06:00', '05:30', '06:00', true],
])('from %s to %s a break from %s to %s lies within: %s', (from, to, pauseFrom, pauseTo, within) => {
  expect(holdsBreak({ from, to }, { from: pauseFrom, to: pauseTo })).toBe(within);
});

/** The shifts of a book: which days it holds, and when it has to be written anew. */
import { describe, expect, test } from 'vitest';
import type { Calendar, ShiftRule } from '../../src/domain/calendar/calendar.ts';
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { DAYS_AHEAD, DAYS_BEHIND, isShort, shiftWindows } from '../../src/server/shift-windows.ts';

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7];
const NIGHT: ShiftRule = { name: 'Night', days: EVERY_DAY, from: '22:00', to: '06:00', breaks: [] };
const DAY: ShiftRule = {
  name: 'Day',
  days: [1, 2, 3, 4, 5],
  from: '07:00',
  to: '15:30',
  breaks: [{ from: '12:00', to: '12:30' }],
};
const LONDON = 'Europe/London';
const NOW = Date.parse('2026-12-10T12:00Z');

function calendarOf(...rules: ShiftRule[]): Calendar {
  return { ...NO_CALENDAR, versions: [{ since: null, rules }] };
}

describe('the shifts of a book', () => {
  test('are of every working day from a week before to sixty days after, by their beginning', () => {
    const shifts = shiftWindows(calendarOf(NIGHT, DAY), LONDON, NOW);
    expect(shifts.filter(({ name }) => name === 'Night').length).toBe(DAYS_BEHIND + 1 + DAYS_AHEAD);
    // 3 December 2026 is a Thursday; 8 February 2027 is a Monday.
    const days = shifts.filter(({ name }) => name === 'Day');
    expect(days[0]?.from).toBe(Date.parse('2026-12-03T07:00Z'));
    expect(days.at(-1)?.from).toBe(Date.parse('2027-02-08T07:00Z'));
    expect(days.length).toBe(48);
    expect(shifts).toEqual([...shifts].sort((a, b) => a.from - b.from));
  });

  test('begin on the site’s own calendar day, not that of Greenwich', () => {
    const late = Date.parse('2026-12-10T11:30Z');
    const [first] = shiftWindows(calendarOf({ ...DAY, days: EVERY_DAY }), 'Pacific/Auckland', late);
    // Half past midnight on the 11th there, which is 13 hours ahead in summer.
    expect(first?.from).toBe(Date.parse('2026-12-03T18:00Z'));
    expect(first?.day).toBe('2026-12-04');
  });

  test('tell their breaks, so that a tablet knows them', () => {
    const [first] = shiftWindows(calendarOf(DAY), LONDON, NOW);
    expect(first).toEqual({
      name: 'Day',
      day: '2026-12-03',
      from: Date.parse('2026-12-03T07:00Z'),
      to: Date.parse('2026-12-03T15:30Z'),
      breaks: [{ from: Date.parse('2026-12-03T12:00Z'), to: Date.parse('2026-12-03T12:30Z') }],
      overtime: false,
    });
  });

  test('are never more than a book holds', () => {
    const calendar = calendarOf(NIGHT, DAY, DAY, DAY, DAY);
    const overtime = Array.from({ length: 120 }, () => ({ ...DAY, day: '2026-12-12' }));
    expect(shiftWindows({ ...calendar, overtime }, LONDON, NOW).length).toBe(68 + 4 * 48 + 120);
    expect(shiftWindows({ ...calendar, overtime: [...overtime, ...overtime] }, LONDON, NOW).length).toBe(400);
  });

  test('of a time zone that does not exist cannot be had', () => {
    expect(() => shiftWindows(calendarOf(DAY), 'Europe/Aldermoor', NOW)).toThrow(RangeError);
  });
});

describe('a book is short', () => {
  const calendar = calendarOf(DAY);
  const shifts = shiftWindows(calendar, LONDON, NOW);
  const short = (held = shifts, now = NOW, of = calendar) => isShort(held, of, LONDON, now);

  test('when a shift of the next 45 days is not in it', () => {
    expect(short()).toBe(false);
    expect(short(shifts, NOW + 14 * DAY_MS)).toBe(false);
    expect(short(shifts, NOW + 16 * DAY_MS)).toBe(true);
    expect(short([])).toBe(true);
  });

  test('not while the works are shut for longer than that, or keep no shifts', () => {
    const shut = [{ from: '2026-12-10', to: '2027-02-28', name: 'Moving house' }];
    const closed = { ...calendar, shut };
    expect(short(shiftWindows(closed, LONDON, NOW), NOW + 5 * DAY_MS, closed)).toBe(false);
    expect(short([], NOW, NO_CALENDAR)).toBe(false);
  });

  test('when it is from before there were breaks', () => {
    expect(short(shifts.map((shift) => ({ ...shift, day: '', breaks: [] })))).toBe(true);
  });
});

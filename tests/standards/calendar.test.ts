/**
 * Shifts, breaks and typed times through the nights when the clocks change.
 *
 * Rules: in the United Kingdom on the last Sunday of March and of October at 01:00 GMT (nidirect.gov.uk, «When the
 * clocks go forward and back»); in the United States on the second Sunday of March and the first of November at 02:00
 * local time (Energy Policy Act of 2005, section 110; from memory). The instants follow from these rules; they were
 * worked out beside this project with Python's zoneinfo (IANA tz database 2025b) and Luxon, which agree. Beside them
 * every wall is read back here with Luxon, which computes from the IANA tz database on its own.
 */
import { DateTime } from 'luxon';
import { describe, expect, test } from 'vitest';
import type { Calendar, ShiftRule } from '../../src/domain/calendar/calendar.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { dayOn, howOften, instantOn, weekdayOf } from '../../src/domain/calendar/wall-time.ts';
import { workedMs } from '../../src/domain/calendar/work-clock.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7];
/** The breaks lie beside the hour that is skipped or doubled. */
const NIGHT: ShiftRule = {
  name: 'Night',
  days: EVERY_DAY,
  from: '22:00',
  to: '06:00',
  breaks: [
    { from: '23:30', to: '00:00' },
    { from: '04:00', to: '04:20' },
  ],
};
const BREAKS_MS = 50 * MINUTE_MS;

function calendarOf(...rules: ShiftRule[]): Calendar {
  return { ...NO_CALENDAR, versions: [{ since: null, rules }] };
}

const CHANGES = [
  ['Europe/London', '2026-03-28', '2026-03-28T22:00Z', '2026-03-29T05:00Z', 7, '2026-03-29T01:00Z'],
  ['Europe/London', '2026-10-24', '2026-10-24T21:00Z', '2026-10-25T06:00Z', 9, '2026-10-25T01:00Z'],
  ['Europe/London', '2027-03-27', '2027-03-27T22:00Z', '2027-03-28T05:00Z', 7, '2027-03-28T01:00Z'],
  ['Europe/London', '2027-10-30', '2027-10-30T21:00Z', '2027-10-31T06:00Z', 9, '2027-10-31T01:00Z'],
  ['America/New_York', '2026-03-07', '2026-03-08T03:00Z', '2026-03-08T10:00Z', 7, '2026-03-08T07:00Z'],
  ['America/New_York', '2026-10-31', '2026-11-01T02:00Z', '2026-11-01T11:00Z', 9, '2026-11-01T06:00Z'],
  ['America/New_York', '2027-03-13', '2027-03-14T03:00Z', '2027-03-14T10:00Z', 7, '2027-03-14T07:00Z'],
  ['America/New_York', '2027-11-06', '2027-11-07T02:00Z', '2027-11-07T11:00Z', 9, '2027-11-07T06:00Z'],
] as const;

describe('a night shift of 22:00 to 06:00 when the clocks change', () => {
  test.each(CHANGES)('in %s on %s', (timeZone, day, from, to, hours, change) => {
    const [begin, end] = [Date.parse(from), Date.parse(to)];
    const around = shiftsBetween(calendarOf(NIGHT), timeZone, begin - 10 * DAY_MS, begin + 10 * DAY_MS);
    const night = around.find((shift) => shift.day === day);
    expect(night).toMatchObject({ name: 'Night', from: begin, to: end, overtime: false });
    expect((end - begin) / HOUR_MS).toBe(hours);
    const others = around.filter((shift) => shift !== night);
    expect(new Set(others.map((shift) => (shift.to - shift.from) / HOUR_MS))).toEqual(new Set([8]));
    expect(around.map((shift) => workedMs(shift, shift.from, shift.to))).toEqual(
      around.map((shift) => shift.to - shift.from - BREAKS_MS),
    );
    expect(shiftsBetween(calendarOf(NIGHT), timeZone, Date.parse(change), Date.parse(change) + 1)).toEqual([
      night,
    ]);
  });

  test.each(CHANGES)('in %s on %s Luxon reads the same walls', (timeZone, _, from) => {
    const begin = Date.parse(from);
    const wall = (at: Instant) => DateTime.fromMillis(at, { zone: timeZone }).toFormat('HH:mm');
    const shifts = shiftsBetween(calendarOf(NIGHT), timeZone, begin - 10 * DAY_MS, begin + 10 * DAY_MS);
    expect(shifts.length).toBeGreaterThanOrEqual(20);
    for (const shift of shifts) {
      expect([wall(shift.from), wall(shift.to)]).toEqual(['22:00', '06:00']);
      expect(shift.breaks.map((pause) => `${wall(pause.from)}-${wall(pause.to)}`)).toEqual([
        '23:30-00:00',
        '04:00-04:20',
      ]);
      const local = DateTime.fromMillis(shift.from, { zone: timeZone });
      expect(shift.day).toBe(local.toISODate());
    }
  });

  test.each(CHANGES)(
    'in %s after %s the day itself has 23 or 25 hours',
    (timeZone, day, _from, _to, hours) => {
      const changed = DateTime.fromISO(day, { zone: timeZone }).plus({ days: 1 }).toISODate() ?? '';
      const whole = { ...NIGHT, from: '00:00', to: '00:00', breaks: [] };
      const noon = instantOn(timeZone, changed, '12:00');
      const [shift] = shiftsBetween(calendarOf(whole), timeZone, noon, noon + 1);
      expect(shift && (shift.to - shift.from) / HOUR_MS).toBe(hours === 7 ? 23 : 25);
    },
  );
});

/** Wall times that come twice or not at all, read as ECMAScript Temporal's «compatible» does (RFC 5545, section 3.3.5). */
const ODD_TIMES = [
  ['Europe/London', '2026-10-25', '01:30', 'twice', '2026-10-25T00:30Z', '2026-10-25T01:30Z'],
  ['Europe/London', '2026-03-29', '01:30', 'never', '2026-03-29T01:30Z', '2026-03-29T01:30Z'],
  ['America/New_York', '2026-11-01', '01:30', 'twice', '2026-11-01T05:30Z', '2026-11-01T06:30Z'],
  ['America/New_York', '2026-03-08', '02:30', 'never', '2026-03-08T07:30Z', '2026-03-08T07:30Z'],
] as const;

/** The last minute before the odd hour, its first, its last, and the first after it. */
const EDGES = [
  ['Europe/London', '2026-10-25', ['00:59', '01:00', '01:59', '02:00'], 'twice'],
  ['Europe/London', '2026-03-29', ['00:59', '01:00', '01:59', '02:00'], 'never'],
  ['America/New_York', '2026-11-01', ['00:59', '01:00', '01:59', '02:00'], 'twice'],
  ['America/New_York', '2026-03-08', ['01:59', '02:00', '02:59', '03:00'], 'never'],
] as const;

describe('a time that the clocks repeat or skip', () => {
  test.each(ODD_TIMES)('in %s on %s at %s comes %s', (timeZone, day, time, often, first, second) => {
    expect(howOften(timeZone, day, time)).toBe(often);
    expect(instantOn(timeZone, day, time)).toBe(Date.parse(first));
    expect(instantOn(timeZone, day, time, 'first')).toBe(Date.parse(first));
    expect(instantOn(timeZone, day, time, 'second')).toBe(Date.parse(second));
    const early = { ...NIGHT, from: time, to: '10:00', breaks: [] };
    const noon = Date.parse(`${day}T12:00Z`);
    const shifts = shiftsBetween(calendarOf(early), timeZone, noon - DAY_MS, noon);
    expect(shifts.map(({ from }) => from)).toContain(Date.parse(first));
  });

  test.each(EDGES)('in %s on %s lies in one hour and no other', (timeZone, day, times, often) => {
    expect(times.map((time) => howOften(timeZone, day, time))).toEqual(['once', often, often, 'once']);
  });

  test('every quarter of an hour of three years is found again by Luxon, and the odd ones are counted', () => {
    const counts = { once: 0, twice: 0, never: 0 };
    const zone = 'Europe/London';
    for (let day = DateTime.utc(2026, 1, 1); day.year < 2029; day = day.plus({ days: 1 })) {
      // Whole hours and quarters of the night; the clocks change then.
      for (let minute = 0; minute < 240; minute += 15) {
        const time = day.plus({ minutes: minute }).toFormat('HH:mm');
        const date = day.toISODate() ?? '';
        const often = howOften(zone, date, time);
        counts[often] += 1;
        const read = (coming: 'first' | 'second') =>
          DateTime.fromMillis(instantOn(zone, date, time, coming), { zone }).toFormat('yyyy-MM-dd HH:mm');
        const same = [read('first'), read('second')].map((wall) => wall === `${date} ${time}`);
        expect(same).toEqual(often === 'never' ? [false, false] : [true, true]);
      }
    }
    // Three springs and three autumns, four quarters of an hour in each.
    expect([counts.twice, counts.never]).toEqual([12, 12]);
  });
});

describe('days', () => {
  test('are those of the site’s zone, as Luxon has them', () => {
    for (const zone of ['Europe/London', 'America/New_York', 'Pacific/Auckland', 'Pacific/Kiritimati']) {
      for (let at = Date.parse('2026-01-01T00:30Z'); at < Date.parse('2027-01-01'); at += 7 * HOUR_MS) {
        const local = DateTime.fromMillis(at, { zone });
        expect([dayOn(zone, at), weekdayOf(dayOn(zone, at))]).toEqual([local.toISODate(), local.weekday]);
      }
    }
  });

  test('of a zone, day or time that is none cannot be had', () => {
    expect(() => instantOn('Europe/Aldermoor', '2026-12-10', '07:00')).toThrow(RangeError);
    expect(() => instantOn('Europe/London', '2026-02-30', '07:00')).toThrow(RangeError);
    expect(() => howOften('Europe/London', '2026-12-10', '25:00')).toThrow(RangeError);
  });
});

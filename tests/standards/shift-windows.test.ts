/**
 * A night shift of 22:00 to 06:00 through the nights when the clocks change.
 *
 * Rules: in the United Kingdom on the last Sunday of March and of October at 01:00 GMT (nidirect.gov.uk, «When the
 * clocks go forward and back»); in the United States on the second Sunday of March and the first of November at 02:00
 * local time (Energy Policy Act of 2005, section 110; from memory). The instants follow from these rules; they were
 * worked out beside this project with Python's zoneinfo (tzdata 2025b) and Luxon, which agree.
 */
import { describe, expect, test } from 'vitest';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { DAYS_AHEAD, DAYS_BEHIND, reachTooShort, shiftWindows } from '../../src/server/shift-windows.ts';

const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7];
const NIGHT = { name: 'Night', days: EVERY_DAY, from: '22:00', to: '06:00' };

const CHANGES = [
  ['Europe/London', '2026-03-28T22:00Z', '2026-03-29T05:00Z', 7],
  ['Europe/London', '2026-10-24T21:00Z', '2026-10-25T06:00Z', 9],
  ['Europe/London', '2027-03-27T22:00Z', '2027-03-28T05:00Z', 7],
  ['Europe/London', '2027-10-30T21:00Z', '2027-10-31T06:00Z', 9],
  ['America/New_York', '2026-03-08T03:00Z', '2026-03-08T10:00Z', 7],
  ['America/New_York', '2026-11-01T02:00Z', '2026-11-01T11:00Z', 9],
  ['America/New_York', '2027-03-14T03:00Z', '2027-03-14T10:00Z', 7],
  ['America/New_York', '2027-11-07T02:00Z', '2027-11-07T11:00Z', 9],
] as const;

describe('a night shift of 22:00 to 06:00 when the clocks change', () => {
  test.each(CHANGES)('in %s from %s to %s lasts %i hours', (timeZone, from, to, hours) => {
    const shifts = shiftWindows([NIGHT], timeZone, Date.parse(from));
    const shift = shifts.find((one) => one.from === Date.parse(from));
    expect(shift?.to).toBe(Date.parse(to));
    expect((Number(shift?.to) - Number(shift?.from)) / HOUR_MS).toBe(hours);
    const others = shifts.filter(
      (one) => Math.abs(one.from - Date.parse(from)) < 20 * DAY_MS && one !== shift,
    );
    expect(new Set(others.map((one) => (one.to - one.from) / HOUR_MS))).toEqual(new Set([8]));
  });
});

/** Wall times that come twice or not at all, read as ECMAScript Temporal's «compatible» does (RFC 5545, section 3.3.5). */
const ODD_TIMES = [
  ['Europe/London', '2026-10-25', '01:30', '2026-10-25T00:30Z'],
  ['Europe/London', '2026-03-29', '01:30', '2026-03-29T01:30Z'],
  ['America/New_York', '2026-11-01', '01:30', '2026-11-01T05:30Z'],
  ['America/New_York', '2026-03-08', '02:30', '2026-03-08T07:30Z'],
] as const;

describe('a shift that begins at a time which the clocks repeat or skip', () => {
  test.each(ODD_TIMES)('in %s on %s at %s begins at %s', (timeZone, day, time, instant) => {
    const rule = { name: 'Early', days: EVERY_DAY, from: time, to: '10:00' };
    const shifts = shiftWindows([rule], timeZone, Date.parse(`${day}T12:00Z`));
    expect(shifts.map(({ from }) => from)).toContain(Date.parse(instant));
  });
});

describe('the windows of a book', () => {
  const day = { name: 'Day', days: [1, 2, 3, 4, 5], from: '07:00', to: '15:30' };
  const now = Date.parse('2026-12-10T12:00Z');

  test('hold every working day from a week before to sixty days after, by their beginning', () => {
    const shifts = shiftWindows([NIGHT, day], 'Europe/London', now);
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
    const [first] = shiftWindows([{ ...day, days: EVERY_DAY }], 'Pacific/Auckland', late);
    // Half past midnight on the 11th there, which is 13 hours ahead in summer.
    expect(first?.from).toBe(Date.parse('2026-12-03T18:00Z'));
  });

  test('are too short when the last is nearer than 45 days', () => {
    const shifts = shiftWindows([day], 'Europe/London', now);
    expect(reachTooShort(shifts, now)).toBe(false);
    expect(reachTooShort(shifts, now + 14 * DAY_MS)).toBe(false);
    expect(reachTooShort(shifts, now + 16 * DAY_MS)).toBe(true);
    expect(reachTooShort([], now)).toBe(true);
  });

  test('of a time zone that does not exist cannot be had', () => {
    expect(() => shiftWindows([day], 'Europe/Aldermoor', now)).toThrow(RangeError);
  });
});

/** A calendar that lasts: what is past stays as it was worked, and there is always room for one more. */
import { expect, test } from 'vitest';
import { type Calendar, calendarSchema } from '../../src/domain/calendar/calendar.ts';
import { calendarAhead, withCalendarAhead } from '../../src/domain/calendar/changes.ts';
import { shiftsOn } from '../../src/domain/calendar/shifts-between.ts';
import { dayAfter } from '../../src/domain/calendar/wall-time.ts';

const TODAY = '2026-11-25';
const ZONE = 'Europe/London';
const STOCK = { from: '2026-11-23', to: '2026-11-27', name: 'Stocktaking' };
const CALENDAR: Calendar = {
  versions: [
    { since: null, rules: [{ name: 'Day', days: [1, 2, 3, 4, 5], from: '07:00', to: '15:00', breaks: [] }] },
  ],
  shut: [STOCK],
  overtime: [],
};
const openDays = (calendar: Calendar) =>
  ['2026-11-23', '2026-11-24', '2026-11-25', '2026-11-26', '2026-11-27'].filter(
    (day) => shiftsOn(calendar, ZONE, day).length > 0,
  );
const changed = (...shut: Calendar['shut']) =>
  openDays(withCalendarAhead(CALENDAR, TODAY, { ...calendarAhead(CALENDAR, TODAY), shut }));

test('shut days that are under way are over from today on, and were shut until yesterday', () => {
  expect(changed()).toEqual(['2026-11-25', '2026-11-26', '2026-11-27']);
  expect(changed({ ...STOCK, to: TODAY })).toEqual(['2026-11-26', '2026-11-27']);
  expect(changed({ ...STOCK, from: TODAY })).toEqual([]);
  expect(changed({ ...STOCK, name: 'Counting' })).toEqual([]);
  const again = withCalendarAhead(CALENDAR, TODAY, {
    ...calendarAhead(CALENDAR, TODAY),
    shut: [{ ...STOCK, to: TODAY }],
  });
  expect(again.shut).toEqual([{ ...STOCK, to: TODAY }]);
});

test('twenty years of overtime on every Saturday, of changed shifts and of bank holidays are held', () => {
  const many = (count: number) =>
    Array.from({ length: count }, (_, week) => dayAfter('2026-11-28', 7 * week));
  const calendar = {
    versions: many(1_040).map((since) => ({ since, rules: [] })),
    shut: many(240).map((day) => ({ from: day, to: day, name: 'Bank holiday' })),
    overtime: many(1_040).map((day) => ({ day, name: 'Saturday', from: '07:00', to: '12:00', breaks: [] })),
  };
  expect(calendarSchema.parse(calendar)).toEqual(calendar);
});

/** The calendar day by day: versions, shut days, overtime, breaks; and what a shift before and at an instant is. */
import { describe, expect, test } from 'vitest';
import { type Calendar, calendarSchema, type ShiftRule } from '../../src/domain/calendar/calendar.ts';
import { shiftAt, shiftBefore, shiftsBetween, shiftsOn } from '../../src/domain/calendar/shifts-between.ts';
import { NO_CALENDAR, rulesOn, shutOn, withRulesFrom } from '../../src/domain/calendar/versions.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { readCalendar, writtenCalendar } from '../../src/server/ledger/stored-calendar.ts';
import { oneShift } from '../support/shift.ts';

const LONDON = 'Europe/London';
const DAY: ShiftRule = { name: 'Day', days: [1, 2, 3, 4, 5], from: '07:00', to: '15:30', breaks: [] };
const NIGHT: ShiftRule = { name: 'Night', days: [1, 2, 3, 4, 5], from: '22:00', to: '06:00', breaks: [] };
const at = (text: string) => Date.parse(`${text}Z`);

function calendarOf(...rules: ShiftRule[]): Calendar {
  return { ...NO_CALENDAR, versions: [{ since: null, rules }] };
}

/** `09:00-09:15`, of the breaks of the one shift on Tuesday 1 December 2026, in winter time. */
function breaksOf(rule: ShiftRule): readonly string[] {
  const [shift] = shiftsOn(calendarOf(rule), LONDON, '2026-12-01');
  const wall = (instant: number) => new Date(instant).toISOString().slice(8, 16);
  return (shift?.breaks ?? []).map((pause) => `${wall(pause.from)} ${wall(pause.to)}`);
}

describe('shifts between two instants', () => {
  const calendar = calendarOf(DAY, NIGHT);
  const names = (from: string, to: string) =>
    shiftsBetween(calendar, LONDON, at(from), at(to)).map(({ name, day }) => `${name} ${day}`);

  test('are those that overlap, be it by a millisecond, by their beginning', () => {
    expect(names('2026-12-01T15:29:59.999', '2026-12-01T22:00:00.001')).toEqual([
      'Day 2026-12-01',
      'Night 2026-12-01',
    ]);
    expect(names('2026-12-01T15:30', '2026-12-01T22:00')).toEqual([]);
  });

  test('count the one that began the evening before, on the day on which it began', () => {
    expect(names('2026-12-01T05:00', '2026-12-01T07:00')).toEqual(['Night 2026-11-30']);
    // Saturday morning still belongs to Friday.
    expect(names('2026-12-05T00:00', '2026-12-07T00:00')).toEqual(['Night 2026-12-04']);
  });

  test('are none where `to` is not after `from`', () => {
    expect(names('2026-12-01T08:00', '2026-12-01T08:00')).toEqual([]);
    expect(names('2026-12-02T08:00', '2026-12-01T08:00')).toEqual([]);
  });

  test('of 24 hours run on into the day after', () => {
    const always = { ...DAY, days: [2], from: '06:00', to: '06:00' };
    const [shift, ...others] = shiftsBetween(
      calendarOf(always),
      LONDON,
      at('2026-12-02T05:59'),
      at('2026-12-02T12:00'),
    );
    expect(others).toEqual([]);
    expect(shift).toMatchObject({ day: '2026-12-01', to: at('2026-12-02T06:00') });
  });

  test('leave out one that the clocks leave no time for', () => {
    const small = { ...DAY, days: [7], from: '01:00', to: '02:00' };
    expect(shiftsOn(calendarOf(small), LONDON, '2026-03-22')).toHaveLength(1);
    expect(shiftsOn(calendarOf(small), LONDON, '2026-03-29')).toEqual([]);
  });
});

describe('breaks', () => {
  const pause = (from: string, to: string) => ({ from, to });

  test.each<[string, ShiftRule, readonly (readonly [string, string])[], readonly string[]]>([
    [
      'in order, whatever the rule’s',
      DAY,
      [
        ['12:00', '12:30'],
        ['09:00', '09:15'],
      ],
      ['01T09:00 01T09:15', '01T12:00 01T12:30'],
    ],
    [
      'that touch or overlap are one',
      DAY,
      [
        ['09:00', '09:15'],
        ['09:15', '09:30'],
        ['09:20', '09:25'],
      ],
      ['01T09:00 01T09:30'],
    ],
    [
      'are cut to the shift',
      DAY,
      [
        ['06:30', '07:15'],
        ['15:15', '16:00'],
      ],
      ['01T07:00 01T07:15', '01T15:15 01T15:30'],
    ],
    [
      'outside the shift are none',
      DAY,
      [
        ['06:00', '07:00'],
        ['15:30', '16:00'],
        ['20:00', '21:00'],
      ],
      [],
    ],
    [
      'of a night belong to the evening or the morning after',
      NIGHT,
      [
        ['23:00', '23:15'],
        ['01:30', '02:00'],
      ],
      ['01T23:00 01T23:15', '02T01:30 02T02:00'],
    ],
    ['may begin with the night', NIGHT, [['22:00', '22:15']], ['01T22:00 01T22:15']],
    ['run over midnight', NIGHT, [['23:45', '00:15']], ['01T23:45 02T00:15']],
    ['of the evening before the night are none', NIGHT, [['21:00', '21:30']], []],
  ])('%s', (_, rule, breaks, expected) => {
    expect(breaksOf({ ...rule, breaks: breaks.map(([from, to]) => pause(from, to)) })).toEqual(expected);
  });
});

describe('versions', () => {
  const first = withRulesFrom(NO_CALENDAR, '2026-11-02', [DAY]);
  const second = withRulesFrom(first, '2026-12-01', [{ ...DAY, to: '16:00' }]);

  test('the first holds for all time before, each other from its day on', () => {
    expect(rulesOn(second, '2020-01-01')).toEqual([DAY]);
    expect(rulesOn(second, '2026-11-30')).toEqual([DAY]);
    expect(rulesOn(second, '2026-12-01')[0]?.to).toBe('16:00');
    expect(rulesOn(NO_CALENDAR, '2026-12-01')).toEqual([]);
  });

  test('changed again on the same day is one change', () => {
    const again = withRulesFrom(second, '2026-12-01', [NIGHT]);
    expect(again.versions.map(({ since }) => since)).toEqual(['2026-11-02', '2026-12-01']);
    expect(rulesOn(again, '2026-12-01')).toEqual([NIGHT]);
    expect(rulesOn(again, '2026-11-30')).toEqual([DAY]);
  });

  test('a night that runs while the rules change stays what it was', () => {
    const before = calendarOf(NIGHT);
    const changed = withRulesFrom(before, '2026-12-02', [DAY]);
    const early = [LONDON, at('2026-12-02T00:00'), at('2026-12-02T06:30')] as const;
    expect(shiftsBetween(changed, ...early)).toEqual(shiftsBetween(before, ...early));
  });
});

describe('shut days and overtime', () => {
  const calendar: Calendar = {
    ...calendarOf(DAY, NIGHT),
    shut: [{ from: '2026-12-24', to: '2026-12-28', name: 'Winter holiday' }],
    overtime: [
      { day: '2026-12-26', name: 'Boiler', from: '08:00', to: '10:00', breaks: [] },
      { day: '2026-12-30', name: 'Early start', from: '05:00', to: '07:00', breaks: [] },
    ],
  };

  test('no shift begins on a shut day, the last included, and one that began before runs on', () => {
    const shifts = shiftsBetween(calendar, LONDON, at('2026-12-24T00:00'), at('2026-12-29T08:00'));
    expect(shifts.map(({ name, day }) => `${name} ${day}`)).toEqual([
      'Night 2026-12-23',
      'Boiler 2026-12-26',
      'Day 2026-12-29',
    ]);
    expect(shutOn(calendar, '2026-12-28')?.name).toBe('Winter holiday');
    expect(shutOn(calendar, '2026-12-29')).toBeNull();
  });

  test('overtime is marked, and stands among the other shifts of its day', () => {
    expect(shiftsOn(calendar, LONDON, '2026-12-30').map(({ name, overtime }) => [name, overtime])).toEqual([
      ['Early start', true],
      ['Day', false],
      ['Night', false],
    ]);
  });
});

describe('the shift at an instant and the one before', () => {
  const [early, late, long] = [
    oneShift('Early', 0, 8 * HOUR_MS),
    oneShift('Late', 8 * HOUR_MS, 16 * HOUR_MS),
    oneShift('Long', 6 * HOUR_MS, 18 * HOUR_MS),
  ];

  test.each([
    [-1, null, null],
    [0, early, null],
    [8 * HOUR_MS - 1, early, null],
    [8 * HOUR_MS, late, early],
    [16 * HOUR_MS, null, late],
    [DAY_MS, null, late],
  ])('at %i', (instant, now, before) => {
    expect(shiftAt([early, late], instant)).toEqual(now);
    expect(shiftBefore([early, late], instant)).toEqual(before);
  });

  test('where they overlap: the one that began first, and the one that ended last', () => {
    const shifts = [early, long, late];
    expect(shiftAt(shifts, 9 * HOUR_MS)).toEqual(long);
    expect(shiftBefore(shifts, long.from)).toBeNull();
    expect(shiftBefore(shifts, 17 * HOUR_MS)).toEqual(late);
    expect(shiftBefore(shifts, DAY_MS)).toEqual(long);
  });
});

describe('a calendar in the ledger', () => {
  test('from before there were versions holds its rules for all time', () => {
    const { breaks: _, ...old } = NIGHT;
    expect(readCalendar(JSON.stringify([old]))).toEqual(calendarOf(NIGHT));
    expect(readCalendar('[]')).toEqual(NO_CALENDAR);
  });

  test('reads as it was written, and what is none is refused', () => {
    const calendar = withRulesFrom(calendarOf(NIGHT), '2026-12-01', [DAY]);
    expect(readCalendar(writtenCalendar(calendar))).toEqual(calendar);
    expect(
      calendarSchema.safeParse({ ...calendar, shut: [{ from: '2026-02-30', to: '2026-03-01', name: 'x' }] })
        .success,
    ).toBe(false);
    expect(() => readCalendar('{}')).toThrow();
    expect(() => writtenCalendar(calendarOf({ ...DAY, from: '7:00' }))).toThrow();
  });
});

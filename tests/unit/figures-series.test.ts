import { describe, expect, test } from 'vitest';
import type { Calendar } from '../../src/domain/calendar/calendar.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import { individualsOf } from '../../src/domain/figures/individuals.ts';
import {
  dailyOutput,
  type Finishing,
  finishings,
  hourlyOutput,
  leavings,
  usualOutput,
} from '../../src/domain/figures/output.ts';
import { queuesOver } from '../../src/domain/figures/queue.ts';
import { stripsOver } from '../../src/domain/figures/strips.ts';
import { asPairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { DESK, handAt, INES, MONDAY_8, PAIR, placed, RUTH, WELTING } from '../support/builders.ts';
import { CLN, DSP, figureBook, WLT } from '../support/figure-histories.ts';

const ZONE = 'Europe/London';
const nightsOnly: Calendar = {
  versions: [
    {
      since: null,
      rules: [{ name: 'Night', days: [1, 2, 3, 4, 5, 6, 7], from: '22:00', to: '06:00', breaks: [] }],
    },
  ],
  shut: [],
  overtime: [],
};
const nights = (from: string, days: number) =>
  shiftsBetween(nightsOnly, ZONE, Date.parse(from), Date.parse(from) + days * DAY_MS);
let pairs = 0;
/** Each of another pair. */
function finished(at: number, shoe: Finishing['shoe'] = 'both'): Finishing {
  pairs += 1;
  return { pair: asPairId(`P${pairs}`), stage: WLT, shoe, at };
}
const done = (at: string, shoe?: Finishing['shoe']) => finished(Date.parse(at), shoe);

describe('a day’s output', () => {
  test('of a night is of the day on which it began, though it was finished after midnight', () => {
    const shifts = nights('2026-11-02T12:00Z', 2);
    const all = [done('2026-11-02T23:00Z'), done('2026-11-03T02:00Z', 'left'), done('2026-11-03T23:00Z')];
    expect(dailyOutput(all, WLT, shifts, ZONE)).toEqual([
      { day: '2026-11-02', value: 1.5 },
      { day: '2026-11-03', value: 1 },
    ]);
  });

  test('between shifts is of its day on the wall, and of no day that had no shift', () => {
    const shifts = nights('2026-11-02T12:00Z', 1);
    expect(dailyOutput([done('2026-11-02T15:00Z')], WLT, shifts, ZONE)).toEqual([
      { day: '2026-11-02', value: 1 },
    ]);
    expect(dailyOutput([done('2026-11-05T15:00Z')], WLT, shifts, ZONE)).toEqual([
      { day: '2026-11-02', value: 0 },
    ]);
  });

  test('is an individual of the chart, days with nothing included', () => {
    const shifts = nights('2026-11-02T12:00Z', 12);
    const all = shifts.flatMap(({ from }, day) =>
      Array.from({ length: day === 11 ? 30 : 5 + (day % 2) }, () => finished(from + HOUR_MS)),
    );
    const { points, limits } = individualsOf(dailyOutput(all, WLT, shifts, ZONE));
    expect(points.filter(({ outside }) => outside).map(({ day }) => day)).toEqual(['2026-11-13']);
    expect(limits?.lower).toBe(0);
    expect(individualsOf(dailyOutput(all, WLT, shifts.slice(0, 9), ZONE)).limits).toBeNull();
  });
});

describe('the hours of a shift', () => {
  test.each([
    ['2026-11-02', 8],
    ['2026-03-28', 7],
    ['2026-10-24', 9],
  ])('beginning on %s are %i', (day, hours) => {
    const shift = nights(`${day}T12:00Z`, 1).find((one) => one.day === day);
    if (shift === undefined) throw new Error('no shift');
    const all = [finished(shift.to - 1, 'left')];
    const output = hourlyOutput(all, WLT, shift);
    expect(output.length).toBe(hours);
    expect(output.at(-1)).toMatchObject({ to: shift.to, value: 0.5, sum: 0.5 });
  });

  test('add up to what was finished by then; the last may be shorter', () => {
    const shift = { from: Date.parse('2026-11-02T08:00Z'), to: Date.parse('2026-11-02T10:30Z') };
    const all = ['08:00', '08:59', '09:00', '10:29', '10:30'].map((time) => done(`2026-11-02T${time}Z`));
    expect(hourlyOutput(all, WLT, shift).map(({ value, sum }) => [value, sum])).toEqual([
      [2, 2],
      [1, 3],
      [1, 4],
    ]);
  });
});

test('a pair that a stage finishes twice in a day, or one shoe after the other, is one pair', () => {
  const shift = { from: Date.parse('2026-11-02T08:00Z'), to: Date.parse('2026-11-02T12:00Z') };
  const one = finished(shift.from, 'left');
  const all = [
    one,
    { ...one, at: shift.from + HOUR_MS, shoe: 'both' as const },
    { ...one, at: shift.to - 1 },
  ];
  expect(hourlyOutput(all, WLT, shift).map(({ sum }) => sum)).toEqual([0.5, 1, 1, 1]);
  const day = { ...shift, name: 'Day', day: '2026-11-02', breaks: [], overtime: false };
  expect(dailyOutput(all, WLT, [day], ZONE)).toEqual([{ day: '2026-11-02', value: 1 }]);
});

describe('the usual day', () => {
  const shifts = nights('2026-08-31T12:00Z', 70);
  const monday = shifts.find(({ day }) => day === '2026-11-02');
  if (monday === undefined) throw new Error('no Monday');

  test('is the median of such weekdays in the eight weeks before, hour by hour', () => {
    const before = shifts.filter(({ day }) => ['2026-10-26', '2026-10-19', '2026-09-07'].includes(day));
    const all = before.flatMap(({ from }, index) =>
      Array.from({ length: index + 1 }, () => finished(from + 90 * MINUTE_MS)),
    );
    const few = shifts.filter(({ day }) =>
      ['2026-10-26', '2026-10-19', '2026-10-12', '2026-10-13'].includes(day),
    );
    // Nothing on the third of the three Mondays; Tuesdays do not count, nor what is older than eight weeks.
    expect(usualOutput(all, WLT, monday, few)?.slice(0, 3)).toEqual([0, 2, 2]);
    expect(usualOutput(all, WLT, monday, shifts)?.[1]).toBe(0);
  });

  test('is not told from fewer than three', () => {
    const two = shifts.filter(({ day }) => ['2026-10-26', '2026-10-19'].includes(day));
    expect(usualOutput([], WLT, monday, two)).toBeNull();
  });
});

/** Logged at eight, cleaned from nine to ten and gone at eleven. */
function onePair() {
  const logged = handAt(DESK, RUTH).write('pair-logged', { at: MONDAY_8 });
  const bench = handAt(WELTING, INES);
  const begun = bench.write('clocked-in', { stage: CLN, at: MONDAY_8 + HOUR_MS });
  const ended = bench.write('clocked-out', { stage: CLN, of: begun.id, at: MONDAY_8 + 2 * HOUR_MS });
  const last = bench.write('clocked-in', { stage: DSP, at: MONDAY_8 + 2 * HOUR_MS });
  const gone = bench.write('clocked-out', {
    stage: DSP,
    of: last.id,
    closes: true,
    at: MONDAY_8 + 3 * HOUR_MS,
  });
  const facts = factsOf(PAIR, placed([logged, begun, ended, last, gone]), figureBook);
  return facts === null ? [] : [facts];
}

test('a queue begins with what waits when the shift begins, and steps at each change', () => {
  const span = { from: MONDAY_8 + 30 * MINUTE_MS, to: MONDAY_8 + 8 * HOUR_MS };
  const queues = queuesOver(onePair(), span);
  expect(queues.get(CLN)).toEqual([
    { at: span.from, waiting: 1 },
    { at: MONDAY_8 + HOUR_MS, waiting: 0 },
  ]);
  expect(queues.get(WLT)).toEqual([
    { at: span.from, waiting: 0 },
    { at: MONDAY_8 + 2 * HOUR_MS, waiting: 1 },
    { at: MONDAY_8 + 3 * HOUR_MS, waiting: 0 },
  ]);
});

test('a bench’s strip holds its spells in their order', () => {
  const span = { from: MONDAY_8, to: MONDAY_8 + 8 * HOUR_MS };
  const [strip] = stripsOver(onePair(), span);
  expect(strip?.bench).toBe(WELTING);
  expect(strip?.spells.map(({ stage, from }) => [stage, from])).toEqual([
    [CLN, MONDAY_8 + HOUR_MS],
    [DSP, MONDAY_8 + 2 * HOUR_MS],
  ]);
});

test('what left the works is told once for each pair', () => {
  const span = { from: MONDAY_8, to: MONDAY_8 + DAY_MS };
  expect(leavings(onePair(), DSP, span)).toEqual([
    { pair: PAIR, stage: DSP, shoe: 'both', at: MONDAY_8 + 3 * HOUR_MS },
  ]);
  expect(finishings(onePair(), span).map(({ stage }) => stage)).toEqual([CLN, DSP]);
});

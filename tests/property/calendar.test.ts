/**
 * Working time on any calendar, over changes of the clocks, against a count minute by minute. The count knows no
 * calendar of ours: Luxon tells the wall of every minute, and what a wall time means follows from these walls alone.
 */
import fc from 'fast-check';
import { DateTime, IANAZone } from 'luxon';
import { describe, expect, test } from 'vitest';
import type { Calendar, ShiftRule, ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import { rulesOn, shutOn } from '../../src/domain/calendar/versions.ts';
import { addWorked, workClock, workedBetween, workedMs } from '../../src/domain/calendar/work-clock.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';

/** Days round which the clocks change, by an hour in spring and in autumn, by half an hour, at midnight, and not at all. */
const CHANGES = [
  ['Europe/London', '2026-03-29'],
  ['Europe/London', '2026-10-25'],
  ['America/New_York', '2026-03-08'],
  ['America/New_York', '2026-11-01'],
  ['Australia/Lord_Howe', '2026-04-05'],
  ['Australia/Lord_Howe', '2026-10-04'],
  ['Asia/Beirut', '2026-03-29'],
  ['Asia/Beirut', '2026-10-25'],
  ['Asia/Kolkata', '2026-10-25'],
] as const;

/** Every minute round such a day with its wall, and days on either side for shifts that reach in and out. */
class Walls {
  readonly from: Instant;
  readonly to: Instant;
  /** Those on which shifts begin. */
  readonly days: readonly string[];
  /** The first minute with a wall; a wall is written as the instant at which Greenwich reads the same. */
  readonly #first = new Map<number, Instant>();
  readonly #skipped: { readonly from: number; readonly to: number; readonly at: Instant }[] = [];

  constructor(zone: string, changeDay: string) {
    const noon = DateTime.fromISO(`${changeDay}T12:00`, { zone: 'UTC' });
    this.days = [-3, -2, -1, 0, 1, 2].map((days) => noon.plus({ days }).toISODate() ?? '');
    this.from = noon.minus({ days: 5 }).toMillis();
    this.to = noon.plus({ days: 6 }).toMillis();
    const luxon = IANAZone.create(zone);
    const wallAt = (at: Instant) => at + luxon.offset(at) * MINUTE_MS;
    for (let at = this.from; at < this.to; at += MINUTE_MS) {
      const [wall, next] = [wallAt(at), wallAt(at - MINUTE_MS) + MINUTE_MS];
      if (!this.#first.has(wall)) this.#first.set(wall, at);
      if (wall > next) this.#skipped.push({ from: next, to: wall, at });
    }
  }

  /** The first minute with this wall; one that is skipped lies as far after the change as into what is skipped. */
  at(day: string, time: string): Instant {
    const wall = Date.parse(`${day}T${time}Z`);
    const found = this.#first.get(wall);
    if (found !== undefined) return found;
    const skipped = this.#skipped.find(({ from, to }) => from <= wall && wall < to);
    if (skipped === undefined) throw new Error(`${day} ${time} lies outside`);
    return skipped.at + wall - skipped.from;
  }
}

const SETTINGS = CHANGES.map(([zone, day]) => ({ zone, walls: new Walls(zone, day) }));

/** Times on the wall cluster round the night, where the clocks change. */
const times = fc
  .oneof(fc.nat(1439), fc.integer({ min: 0, max: 240 }), fc.integer({ min: 1320, max: 1439 }))
  .map((minute) => `${pad(Math.floor(minute / 60))}:${pad(minute % 60)}`);
const spans = fc.record({ from: times, to: times });
const breaks = fc.array(spans, { maxLength: 3 });

const rules: fc.Arbitrary<ShiftRule> = fc.record({
  name: fc.constantFrom('Early', 'Late', 'Night'),
  days: fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 1, maxLength: 7 }),
  from: times,
  to: times,
  breaks,
});

const settings = fc.constantFrom(...SETTINGS).chain(({ zone, walls }) =>
  fc.record({
    zone: fc.constant(zone),
    walls: fc.constant(walls),
    calendar: calendarsOn(walls.days),
    at: fc
      .integer({ min: 0, max: (6 * DAY_MS) / MINUTE_MS })
      .map((minute) => walls.from + minute * MINUTE_MS),
    minutes: fc.integer({ min: 0, max: 3000 }),
  }),
);

function calendarsOn(days: readonly string[]): fc.Arbitrary<Calendar> {
  const day = fc.constantFrom(...days);
  return fc.record({
    versions: fc
      .tuple(fc.array(rules, { maxLength: 3 }), fc.array(rules, { maxLength: 3 }), day)
      .map(([before, since, from]) => [
        { since: null, rules: before },
        { since: from, rules: since },
      ]),
    shut: fc.array(
      day.map((one) => ({ from: one, to: one, name: 'Shut' })),
      { maxLength: 1 },
    ),
    overtime: fc.array(fc.record({ day, name: fc.constant('Overtime'), from: times, to: times, breaks }), {
      maxLength: 2,
    }),
  });
}

/** Whether each minute since `walls.from` is worked, by the calendar's words and the walls alone. */
function workedMinutes({ versions, shut, overtime }: Calendar, walls: Walls): readonly boolean[] {
  const worked = Array.from({ length: (walls.to - walls.from) / MINUTE_MS }, () => false);
  for (const day of walls.days) {
    const weekday = DateTime.fromISO(day).weekday;
    const isShut = shut.some(({ from, to }) => from <= day && day <= to);
    const version = versions.filter(({ since }) => since === null || since <= day).at(-1);
    const regular = isShut ? [] : (version?.rules.filter(({ days }) => days.includes(weekday)) ?? []);
    for (const rule of [...regular, ...overtime.filter((one) => one.day === day)]) {
      const next = DateTime.fromISO(day).plus({ days: 1 }).toISODate() ?? '';
      const afterNext = DateTime.fromISO(day).plus({ days: 2 }).toISODate() ?? '';
      const crosses = rule.to <= rule.from;
      const from = walls.at(day, rule.from);
      const to = walls.at(crosses ? next : day, rule.to);
      const pauses = rule.breaks.map((pause) => {
        const onNext = crosses && pause.from < rule.from;
        const endsOn = pause.to <= pause.from ? (onNext ? afterNext : next) : onNext ? next : day;
        return [walls.at(onNext ? next : day, pause.from), walls.at(endsOn, pause.to)] as const;
      });
      for (let at = from; at < to; at += MINUTE_MS) {
        const isBreak = pauses.some(([begin, end]) => begin <= at && at < end);
        if (!isBreak) worked[(at - walls.from) / MINUTE_MS] = true;
      }
    }
  }
  return worked;
}

/** Only of days whose walls are known to the count. */
function shiftsOf(calendar: Calendar, zone: string, walls: Walls): readonly ShiftSpan[] {
  return shiftsBetween(calendar, zone, walls.from - DAY_MS, walls.to + DAY_MS).filter(({ day }) =>
    walls.days.includes(day),
  );
}

describe('working time on any calendar', () => {
  test('to be added ends with the minute that a count of minutes ends with', () => {
    fc.assert(
      fc.property(settings, ({ zone, walls, calendar, at, minutes }) => {
        const worked = workedMinutes(calendar, walls);
        const added = addWorked(shiftsOf(calendar, zone, walls), at, minutes * MINUTE_MS);
        let [left, index] = [minutes, (at - walls.from) / MINUTE_MS];
        while (left > 0 && index < worked.length) {
          if (worked[index] === true) left -= 1;
          index += 1;
        }
        expect(added).toBe(left > 0 ? null : walls.from + index * MINUTE_MS);
      }),
      { numRuns: 300 },
    );
  });

  test('between two instants is the number of minutes worked between them', () => {
    fc.assert(
      fc.property(settings, ({ zone, walls, calendar, at, minutes }) => {
        const worked = workedMinutes(calendar, walls);
        const to = Math.min(at + minutes * MINUTE_MS, walls.to);
        const count = worked
          .slice((at - walls.from) / MINUTE_MS, (to - walls.from) / MINUTE_MS)
          .filter(Boolean).length;
        const shifts = shiftsOf(calendar, zone, walls);
        expect(workedBetween(shifts, at, to)).toBe(count * MINUTE_MS);
        const clock = workClock(shifts);
        expect(clock.worked(to) - clock.worked(at)).toBe(count * MINUTE_MS);
      }),
      { numRuns: 300 },
    );
  });

  test('is additive, and no more than that of the shifts one by one', () => {
    const cut = fc.tuple(settings, fc.nat(7 * DAY_MS), fc.nat(7 * DAY_MS), fc.nat(7 * DAY_MS));
    fc.assert(
      fc.property(cut, ([{ zone, walls, calendar }, ...cuts]) => {
        const [a = 0, b = 0, c = 0] = cuts.map((ms) => walls.from + ms).sort((one, other) => one - other);
        const shifts = shiftsOf(calendar, zone, walls);
        const whole = workedBetween(shifts, a, c);
        expect(workedBetween(shifts, a, b) + workedBetween(shifts, b, c)).toBe(whole);
        const one = shifts.map((shift) => workedMs(shift, a, c));
        expect(whole).toBeLessThanOrEqual(one.reduce((sum, ms) => sum + ms, 0));
        expect(whole).toBeGreaterThanOrEqual(Math.max(0, ...one));
      }),
    );
  });

  test('as a clock goes there and back', () => {
    fc.assert(
      fc.property(
        settings,
        fc.double({ min: 0, max: 1, noNaN: true }),
        ({ zone, walls, calendar, at }, share) => {
          const shifts = shiftsOf(calendar, zone, walls);
          const clock = workClock(shifts);
          const ms = Math.floor(clock.totalMs * share);
          const there = clock.at(ms);
          expect(there === null).toBe(clock.totalMs === 0);
          if (there === null) return;
          expect(clock.worked(there)).toBe(ms);
          // Where work goes on at an instant and did just before, its working time leads back to it and to no other.
          const working = clock.worked(at + 1) - clock.worked(at - 1) === 2;
          if (working) expect(clock.at(clock.worked(at))).toBe(at);
          const next = clock.next(at);
          if (next !== null) {
            expect(next).toBeGreaterThanOrEqual(at);
            expect(clock.worked(next)).toBe(clock.worked(at));
            expect(clock.worked(next + 1)).toBe(clock.worked(at) + 1);
          } else expect(clock.worked(at)).toBe(clock.totalMs);
        },
      ),
    );
  });

  test('has shifts in order, of their own day, with breaks in order, within and apart', () => {
    fc.assert(
      fc.property(settings, ({ zone, calendar, at, minutes }) => {
        const to = at + minutes * MINUTE_MS;
        const shifts = shiftsBetween(calendar, zone, at, to);
        expect(shifts.map(({ from }) => from)).toEqual(shifts.map(({ from }) => from).sort((a, b) => a - b));
        for (const shift of shifts) {
          expect(shift.from < to && shift.to > at && shift.from < shift.to).toBe(true);
          expect(DateTime.fromMillis(shift.from, { zone }).toISODate()).toBe(shift.day);
          if (!shift.overtime) {
            expect(shutOn(calendar, shift.day)).toBeNull();
            expect(rulesOn(calendar, shift.day).map(({ name }) => name)).toContain(shift.name);
          }
          const edges = shift.breaks.flatMap((pause) => [pause.from, pause.to]);
          expect([shift.from, ...edges, shift.to]).toEqual(
            [shift.from, ...edges, shift.to].sort((a, b) => a - b),
          );
          expect(new Set(edges).size).toBe(edges.length);
        }
      }),
    );
  });
});

describe('a work clock', () => {
  test('of no shifts stands still', () => {
    const clock = workClock([]);
    expect([clock.totalMs, clock.worked(5), clock.at(0), clock.at(1), clock.next(5)]).toEqual([
      0,
      0,
      null,
      null,
      null,
    ]);
    expect([clock.add(5, 0), clock.add(5, 1), workedBetween([], 1, 2)]).toEqual([5, null, 0]);
  });

  test('runs through the break of one shift while another works, and through what touches', () => {
    const base = { day: '2026-12-10', overtime: false };
    const pause = { from: 2 * HOUR_MS, to: 3 * HOUR_MS };
    const [early, late, last] = [
      { ...base, name: 'Early', from: 0, to: 4 * HOUR_MS, breaks: [pause] },
      { ...base, name: 'Late', from: 2.5 * HOUR_MS, to: 6 * HOUR_MS, breaks: [] },
      { ...base, name: 'Last', from: 6 * HOUR_MS, to: 7 * HOUR_MS, breaks: [] },
    ];
    const clock = workClock([early, late, last]);
    expect(clock.totalMs).toBe(6.5 * HOUR_MS);
    expect(clock.at(2 * HOUR_MS)).toBe(2 * HOUR_MS);
    expect(clock.at(2 * HOUR_MS + 1)).toBe(2.5 * HOUR_MS + 1);
    expect(clock.add(2 * HOUR_MS, 0)).toBe(2 * HOUR_MS);
    expect(clock.next(2 * HOUR_MS)).toBe(2.5 * HOUR_MS);
    expect(clock.add(-DAY_MS, HOUR_MS)).toBe(HOUR_MS);
    expect(clock.add(6.5 * HOUR_MS, HOUR_MS / 2)).toBe(7 * HOUR_MS);
    expect(clock.add(6.5 * HOUR_MS, HOUR_MS / 2 + 1)).toBeNull();
    expect(workedBetween([early, late, last], 3 * HOUR_MS, 2 * HOUR_MS)).toBe(0);
    expect(workedMs(early, HOUR_MS, 2.5 * HOUR_MS)).toBe(HOUR_MS);
    expect(workedMs(early, 5 * HOUR_MS, 6 * HOUR_MS)).toBe(0);
  });
});

function pad(number: number): string {
  return String(number).padStart(2, '0');
}

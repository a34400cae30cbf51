/** The shifts of Aldermoor Bench as instants: two a weekday, Friday's early one an hour shorter. */
import { Temporal } from 'temporal-polyfill';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { ShiftRule } from '../src/server/shift-windows.ts';
import { TIME_ZONE } from './workshop.ts';

export interface Span {
  readonly from: Instant;
  readonly to: Instant;
}

export interface ShiftWindow extends Span {
  readonly breaks: readonly Span[];
}

export interface WorkingDay {
  /** `2026-12-10` on the site's calendar. */
  readonly date: string;
  readonly early: ShiftWindow;
  readonly late: ShiftWindow;
  readonly office: Span;
}

export const SHIFT_RULES: readonly ShiftRule[] = [
  { name: 'Early', days: [1, 2, 3, 4], from: '06:00', to: '14:00' },
  { name: 'Early', days: [5], from: '06:00', to: '13:00' },
  { name: 'Late', days: [1, 2, 3, 4, 5], from: '14:00', to: '21:30' },
];

/** Breaks of both shifts on the site's clock. */
export const BREAKS = {
  early: [
    ['09:00', '09:15'],
    ['11:30', '12:00'],
  ],
  late: [['17:30', '18:00']],
} as const;

const FRIDAY = 5;

/**
 * Working days round `around`: `before` of them up to and including its own day (or the last one before it),
 * and `after` of them behind it.
 */
export function workingDays(around: Instant, before: number, after: number): readonly WorkingDay[] {
  const today = Temporal.Instant.fromEpochMilliseconds(around).toZonedDateTimeISO(TIME_ZONE).toPlainDate();
  const past: Temporal.PlainDate[] = [];
  for (let date = today; past.length < before; date = date.subtract({ days: 1 })) {
    if (date.dayOfWeek <= FRIDAY) past.unshift(date);
  }
  const coming: Temporal.PlainDate[] = [];
  for (let date = today.add({ days: 1 }); coming.length < after; date = date.add({ days: 1 })) {
    if (date.dayOfWeek <= FRIDAY) coming.push(date);
  }
  return [...past, ...coming].map(workingDay);
}

function workingDay(date: Temporal.PlainDate): WorkingDay {
  const at = (time: string): Instant =>
    date.toZonedDateTime({ timeZone: TIME_ZONE, plainTime: Temporal.PlainTime.from(time) }).epochMilliseconds;
  const span = (from: string, to: string): Span => ({ from: at(from), to: at(to) });
  const shift = (wanted: string, breaks: readonly (readonly [string, string])[]): ShiftWindow => {
    const rule = SHIFT_RULES.find(({ name, days }) => name === wanted && days.includes(date.dayOfWeek));
    if (rule === undefined) throw new Error(`no ${wanted} shift on ${date.toString()}`);
    return { ...span(rule.from, rule.to), breaks: breaks.map(([from, to]) => span(from, to)) };
  };
  return {
    date: date.toString(),
    early: shift('Early', BREAKS.early),
    late: shift('Late', BREAKS.late),
    office: span('06:15', '16:00'),
  };
}

/** `instant`, or the end of the break that it falls into. */
export function afterBreak({ breaks }: ShiftWindow, instant: Instant): Instant {
  return breaks.find(({ from, to }) => from <= instant && instant < to)?.to ?? instant;
}

/** When work of so many minutes ends that starts at `from`, breaks left out; it may end after the shift. */
export function workedUntil(shift: ShiftWindow, from: Instant, minutes: number): Instant {
  let at = afterBreak(shift, from);
  let restMs = Math.round(minutes * MINUTE_MS);
  for (const pause of shift.breaks) {
    if (pause.from < at) continue;
    if (at + restMs <= pause.from) break;
    restMs -= pause.from - at;
    at = pause.to;
  }
  return at + restMs;
}

/** Minutes from `from` to `to` in this shift, breaks left out. */
export function workedMinutes({ breaks }: ShiftWindow, from: Instant, to: Instant): number {
  const pausesMs = breaks.reduce(
    (sum, pause) => sum + Math.max(0, Math.min(to, pause.to) - Math.max(from, pause.from)),
    0,
  );
  return (to - from - pausesMs) / MINUTE_MS;
}

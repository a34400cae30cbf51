/** What a calendar says of one day, and how it takes a change. */
import type { Calendar, ShiftRule, ShutDays } from './calendar.ts';

/** Nothing in it: a site that keeps no shifts. */
export const NO_CALENDAR: Calendar = { versions: [], shut: [], overtime: [] };

/** The rules that held on a day, `2026-12-10`. */
export function rulesOn({ versions }: Calendar, day: string): readonly ShiftRule[] {
  const version = versions.findLast(({ since }) => since === null || since <= day) ?? versions[0];
  return version?.rules ?? [];
}

/** Why no shift begins on a day; null where the works are open. */
export function shutOn({ shut }: Calendar, day: string): ShutDays | null {
  return shut.find(({ from, to }) => from <= day && day <= to) ?? null;
}

/**
 * The calendar with other rules from `day` on, which lies in no version's past. What held before that day stays;
 * changed again on the same day, the day's own version is replaced.
 */
export function withRulesFrom(calendar: Calendar, day: string, rules: readonly ShiftRule[]): Calendar {
  const before = calendar.versions.filter(({ since }) => since === null || since < day);
  return { ...calendar, versions: [...before, { since: day, rules: [...rules] }] };
}

/** A site's calendar as it lies in the ledger, and as it lay there when it held nothing but the rules of today. */
import * as z from 'zod';
import { type Calendar, calendarSchema, shiftRuleSchema } from '../../domain/calendar/calendar.ts';
import { NO_CALENDAR } from '../../domain/calendar/versions.ts';

/** Rules alone: they hold for all time. */
const rulesSchema = z.array(shiftRuleSchema);

/** @throws ZodError where it is neither */
export function readCalendar(json: string): Calendar {
  const stored: unknown = JSON.parse(json);
  if (!Array.isArray(stored)) return calendarSchema.parse(stored);
  const rules = rulesSchema.parse(stored);
  return rules.length === 0 ? NO_CALENDAR : { ...NO_CALENDAR, versions: [{ since: null, rules }] };
}

/** @throws ZodError where it is no calendar */
export function writtenCalendar(calendar: unknown): string {
  return JSON.stringify(calendarSchema.parse(calendar));
}

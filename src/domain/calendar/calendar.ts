/**
 * A site's working calendar: shifts as times on the wall of its time zone, the breaks within them, the days on which
 * the works are shut, and overtime. What it held last month it still holds: a change of the shifts is a new version
 * from a day on, so that a sheet of then is computed as it was then.
 */
import * as z from 'zod/mini';
import type { Instant } from '../instant.ts';
import { lineSchema } from '../record/envelope.ts';
import { daySchema } from '../record/kind.ts';
import { listOf, whole, written } from '../shapes.ts';

/** A time on the wall, `22:00`. */
export const wallTimeSchema = written(/^([01]\d|2[0-3]):[0-5]\d$/, 'is no time as 22:00');

/** From one time on the wall to another; at or before `from`, `to` is on the day after. */
const wallSpan = { from: wallTimeSchema, to: wallTimeSchema };

const breaksSchema = z._default(listOf(z.object(wallSpan), 8), []);

export const shiftRuleSchema = z.object({
  name: lineSchema(40),
  /** ISO 8601 weekdays, 1 for Monday, on which the shift begins. */
  days: listOf(whole(1, 7), 7, 1),
  ...wallSpan,
  breaks: breaksSchema,
});
export type ShiftRule = z.infer<typeof shiftRuleSchema>;

export const shutDaysSchema = z.object({ from: daySchema, to: daySchema, name: lineSchema(60) });
export type ShutDays = z.infer<typeof shutDaysSchema>;

export const overtimeSchema = z.object({
  day: daySchema,
  name: lineSchema(40),
  ...wallSpan,
  breaks: breaksSchema,
});
export type Overtime = z.infer<typeof overtimeSchema>;

/** What is past stays in it: there is room for decades. */
export const calendarSchema = z.object({
  /** By the day on which they begin to hold, oldest first; the first holds for all time before. */
  versions: listOf(z.object({ since: z.nullable(daySchema), rules: listOf(shiftRuleSchema, 5) }), 2_000),
  /** No shift begins on these days, both ends included; overtime does. */
  shut: listOf(shutDaysSchema, 2_000),
  overtime: listOf(overtimeSchema, 4_000),
});
export type Calendar = z.infer<typeof calendarSchema>;

export interface Span {
  readonly from: Instant;
  readonly to: Instant;
}

/** One shift of one day. */
export interface ShiftSpan extends Span {
  readonly name: string;
  /** The calendar day of the site on which it begins, `2026-12-10`. */
  readonly day: string;
  /** In order, within the shift, apart from each other. */
  readonly breaks: readonly Span[];
  readonly overtime: boolean;
}

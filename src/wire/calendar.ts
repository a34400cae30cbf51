/**
 * The site's calendar for the desk, which only the server holds whole.
 *
 * - `GET /api/site/calendar` what holds today and lies ahead
 * - `POST /api/site/calendar` that replaced, answered alike. 409 `book-changed` where somebody else was faster; 403
 *   `not-allowed` where `by` is no supervisor
 */
import * as z from 'zod/mini';
import { calendarSchema, overtimeSchema, shiftRuleSchema } from '../domain/calendar/calendar.ts';
import { operativeIdSchema } from '../domain/record/envelope.ts';
import { daySchema } from '../domain/record/kind.ts';
import { listOf, written } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const CALENDAR_BYTES_MAX = 128 * 1024;

const ahead = {
  rules: listOf(shiftRuleSchema, 5),
  shut: calendarSchema.shape.shut,
  overtime: listOf(overtimeSchema, 400),
};

/** The calendar that was seen: another one has another. */
const tagSchema = written(/^[0-9a-f]{64}$/, 'has another form');

export const calendarAnswerSchema = z.object({
  state: ledgerStateSchema,
  tag: tagSchema,
  /** The site's day. */
  today: daySchema,
  ...ahead,
});
export type CalendarAnswer = z.infer<typeof calendarAnswerSchema>;

export const calendarChangeSchema = z.object({ tag: tagSchema, by: operativeIdSchema, ...ahead });
export type CalendarChange = z.infer<typeof calendarChangeSchema>;

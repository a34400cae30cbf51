/** A site's calendar as it lies in the ledger, and as it lay there when it held nothing but the rules of today. */
import type { Kysely, Transaction } from 'kysely';
import * as z from 'zod';
import { type Calendar, calendarSchema, shiftRuleSchema } from '../../domain/calendar/calendar.ts';
import { NO_CALENDAR } from '../../domain/calendar/versions.ts';
import type { SiteId } from '../../domain/ids.ts';
import type { Tables } from './tables.ts';

/** Rules alone: they hold for all time. */
const rulesSchema = z.array(shiftRuleSchema);

/** @throws ZodError where it is neither */
export function readCalendar(json: string): Calendar {
  const stored: unknown = JSON.parse(json);
  if (!Array.isArray(stored)) return calendarSchema.parse(stored);
  const rules = rulesSchema.parse(stored);
  return rules.length === 0 ? NO_CALENDAR : { ...NO_CALENDAR, versions: [{ since: null, rules }] };
}

/** An empty one for a site that is not here. */
export async function calendarIn(db: Kysely<Tables>, site: SiteId): Promise<Calendar> {
  const row = await db
    .selectFrom('site_books')
    .select('shift_rules')
    .where('site', '=', site)
    .executeTakeFirst();
  return row === undefined ? NO_CALENDAR : readCalendar(row.shift_rules);
}

/** @throws ZodError where it is no calendar */
export async function setCalendarIn(db: Kysely<Tables>, site: SiteId, calendar: Calendar): Promise<void> {
  const shift_rules = writtenCalendar(calendar);
  await db.updateTable('site_books').set({ shift_rules }).where('site', '=', site).execute();
}

export async function changeCalendarIn(
  within: Transaction<Tables>,
  site: SiteId,
  change: (calendar: Calendar) => Calendar,
): Promise<void> {
  // Written before it is read, so that of two changes the later one sees the earlier.
  await within
    .updateTable('site_books')
    .set((eb) => ({ shift_rules: eb.ref('shift_rules') }))
    .where('site', '=', site)
    .execute();
  const before = await calendarIn(within, site);
  const after = change(before);
  if (after !== before) await setCalendarIn(within, site, after);
}

/** @throws ZodError where it is no calendar */
export function writtenCalendar(calendar: unknown): string {
  return JSON.stringify(calendarSchema.parse(calendar));
}

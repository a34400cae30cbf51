/** The site's calendar at the desk: `src/wire/calendar.ts` says what is asked and answered. */
import type { Calendar } from '../../domain/calendar/calendar.ts';
import { calendarAhead, calendarFaults, withCalendarAhead } from '../../domain/calendar/changes.ts';
import { dayOn } from '../../domain/calendar/wall-time.ts';
import { codeHash } from '../../domain/code-hash.ts';
import { roleOf } from '../../domain/site-book.ts';
import { CALENDAR_BYTES_MAX, type CalendarAnswer, calendarChangeSchema } from '../../wire/calendar.ts';
import { readBody } from '../body.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { changeCalendar } from '../shift-renewal.ts';
import { stateFor } from '../state.ts';

const tagOf = (calendar: Calendar): string => codeHash(JSON.stringify(calendar));

export function answerCalendar(parts: ServerParts) {
  return async (c: AppContext): Promise<Response> => answerNow(parts, c, await todayAt(parts, c));
}

export function answerCalendarChange(parts: ServerParts) {
  const { ledger, clock } = parts;
  return async (c: AppContext): Promise<Response> => {
    const body = await readBody(c, CALENDAR_BYTES_MAX);
    if (body.is === 'refused') return body.answer;
    const asked = calendarChangeSchema.safeParse(body.value);
    if (!asked.success) return refuse(c, 'bad-request', reasonsOf(asked.error));
    const { by, tag, ...wanted } = asked.data;
    const { site } = c.get('bench');
    const book = await ledger.book(site);
    if (book === null) throw new Error(`site ${site} has no book`);
    if (roleOf(book, by) !== 'supervisor')
      return refuse(c, 'not-allowed', ['by: is no supervisor of this site']);
    const today = dayOn(book.timeZone, clock());
    const [fault] = calendarFaults(wanted, today);
    if (fault !== undefined) return refuse(c, 'bad-request', [`${fault.in}.${fault.line}: ${fault.fault}`]);
    let seen = true;
    await changeCalendar(ledger, site, clock(), (calendar) => {
      // Judged within the ledger's transaction: two desks cannot both find the calendar that they saw.
      seen = tagOf(calendar) === tag;
      return seen ? withCalendarAhead(calendar, today, wanted) : calendar;
    });
    return seen ? answerNow(parts, c, today) : refuse(c, 'book-changed', ['tag: is another by now']);
  };
}

async function todayAt({ ledger, clock }: ServerParts, c: AppContext): Promise<string> {
  const { site } = c.get('bench');
  const book = await ledger.book(site);
  if (book === null) throw new Error(`site ${site} has no book`);
  return dayOn(book.timeZone, clock());
}

async function answerNow(parts: ServerParts, c: AppContext, today: string): Promise<Response> {
  const calendar = await parts.ledger.calendar(c.get('bench').site);
  const { rules, shut, overtime } = calendarAhead(calendar, today);
  return c.json({
    state: await stateFor(parts, c),
    tag: tagOf(calendar),
    today,
    rules: [...rules],
    shut: [...shut],
    overtime: [...overtime],
  } satisfies CalendarAnswer);
}

/** The shift sheet's routes for the desk: `src/wire/sheet.ts` says what they answer. */
import * as z from 'zod';
import type { ShiftSpan } from '../../domain/calendar/calendar.ts';
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import { FIGURES, type FigureName, HAND_FIGURES } from '../../domain/figures/members-of.ts';
import { DAY_MS, type Instant, instantSchema } from '../../domain/instant.ts';
import {
  handBehindQuerySchema,
  handsQuerySchema,
  type Preparing,
  type SheetAnswer,
  type ShiftsAnswer,
} from '../../wire/sheet.ts';
import { readBody } from '../body.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import type { FindSheet } from '../read/sheets.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import type { Asked } from '../sheet/asked.ts';
import { behindAnswer } from '../sheet/behind-answer.ts';
import { handsAnswer, maySee } from '../sheet/hands-answer.ts';
import { sheetAnswer } from '../sheet/sheet-answer.ts';
import { inTime, type Sheets } from '../sheet/sheets.ts';
import { stateFor } from '../state.ts';

/** Shifts on one page of the list: some two weeks of two shifts a day. */
const SHIFTS_AT_ONCE = 30;
const LOOK_FOR_SHIFTS_MS = 60 * DAY_MS;

const instantIn = z.coerce
  .number()
  .pipe(z.custom<Instant>((value) => instantSchema.safeParse(value).success));
const beforeSchema = z.object({ before: instantIn.optional() });
const shiftSchema = z.object({ shift: instantIn });
const behindSchema = z.object({
  shift: instantIn,
  figure: z.enum(FIGURES),
  of: z.string().max(60).default(''),
});

export const HANDS_BYTES_MAX = 1_000;

export type SheetsOf = (c: AppContext) => Sheets;

/** All that is asked is answered as of one moment. */
export async function askedNow({ ledger, clock }: ServerParts, c: AppContext): Promise<Asked> {
  const { site, bench } = c.get('bench');
  const standing = await ledger.standing(site, bench);
  const book = await ledger.book(site);
  if (standing === null || book === null) throw new Error(`site ${site} is not here`);
  return { standing, book, calendar: await ledger.calendar(site), now: clock() };
}

export function answerShifts(parts: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const query = beforeSchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const { book, calendar, now } = await askedNow(parts, c);
    const before = Math.min(query.data.before ?? now + 1, now + 1);
    const shifts = shiftsBetween(calendar, book.timeZone, before - LOOK_FOR_SHIFTS_MS, before)
      .filter(({ from }) => from < before)
      .slice(-SHIFTS_AT_ONCE)
      .reverse();
    return c.json({
      shifts: shifts.map((shift) => ({ ...shift, breaks: [...shift.breaks] })),
    } satisfies ShiftsAnswer);
  };
}

/** One shift, with the facts caught up; or what is answered instead. */
type Ready =
  | { readonly is: 'ready'; readonly sheets: Sheets; readonly asked: Asked; readonly shift: ShiftSpan }
  | { readonly is: 'answered'; readonly answer: Response };

async function readyFor(
  parts: ServerParts,
  sheetsOf: SheetsOf,
  c: AppContext,
  from: Instant,
): Promise<Ready> {
  const asked = await askedNow(parts, c);
  const sheets = sheetsOf(c);
  const shift = sheets.shiftFrom(asked, from);
  if (shift === null || shift.from > asked.now) return { is: 'answered', answer: refuse(c, 'not-found') };
  const preparing = await sheets.ready(asked);
  if (preparing === null) return { is: 'ready', sheets, asked, shift };
  return { is: 'answered', answer: c.json({ preparing } satisfies Preparing, 202) };
}

export function answerSheet(parts: ServerParts, sheetsOf: SheetsOf) {
  return async (c: AppContext): Promise<Response> => {
    const query = shiftSchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const ready = await readyFor(parts, sheetsOf, c, query.data.shift);
    if (ready.is === 'answered') return ready.answer;
    const answer = sheetAnswer(await ready.sheets.sheet(ready.asked, ready.shift), ready.asked);
    return c.json({ state: await stateFor(parts, c), ...answer } satisfies SheetAnswer);
  };
}

export function answerBehind(parts: ServerParts, sheetsOf: SheetsOf) {
  return async (c: AppContext): Promise<Response> => {
    const query = behindSchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    // Those are asked for with a badge.
    if (isOfHand(query.data.figure)) return refuse(c, 'not-allowed');
    const ready = await readyFor(parts, sheetsOf, c, query.data.shift);
    if (ready.is === 'answered') return ready.answer;
    const sheet = await ready.sheets.sheet(ready.asked, ready.shift);
    const behind = await behindAnswer(parts.ledger, ready.asked, sheet, query.data);
    return behind === null ? refuse(c, 'not-found') : c.json(behind);
  };
}

function isOfHand(figure: FigureName): boolean {
  return HAND_FIGURES.some((one) => one === figure);
}

/** A number of one person opens to that person, and to a supervisor. */
export function answerHandBehind(parts: ServerParts, sheetsOf: SheetsOf) {
  return async (c: AppContext): Promise<Response> => {
    const body = await readBody(c, HANDS_BYTES_MAX);
    if (body.is === 'refused') return body.answer;
    const query = handBehindQuerySchema.safeParse(body.value);
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const ready = await readyFor(parts, sheetsOf, c, query.data.shift);
    if (ready.is === 'answered') return ready.answer;
    const sheet = await ready.sheets.sheet(ready.asked, ready.shift);
    if (!maySee(query.data.of, sheet, ready.asked, query.data.badge)) return refuse(c, 'not-allowed');
    const behind = await behindAnswer(parts.ledger, ready.asked, sheet, query.data);
    return behind === null ? refuse(c, 'not-found') : c.json(behind);
  };
}

export function answerLookBack(parts: ServerParts, sheetsOf: SheetsOf) {
  return async (c: AppContext): Promise<Response> => {
    const query = shiftSchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const ready = await readyFor(parts, sheetsOf, c, query.data.shift);
    if (ready.is === 'answered') return ready.answer;
    return c.json(await ready.sheets.lookBack(ready.asked, ready.shift));
  };
}

export function answerForecast(parts: ServerParts, sheetsOf: SheetsOf) {
  return async (c: AppContext): Promise<Response> => {
    const asked = await askedNow(parts, c);
    const sheets = sheetsOf(c);
    const preparing = await sheets.ready(asked);
    if (preparing !== null) return c.json({ preparing } satisfies Preparing, 202);
    // A large site takes longer than anybody waits for an answer.
    const forecast = await inTime(sheets.forecast(asked));
    return forecast === null
      ? c.json({ preparing: { done: 0, of: 0 } } satisfies Preparing, 202)
      : c.json(forecast);
  };
}

/** The badge comes in the body: an address is written into logs. */
export function answerHands(parts: ServerParts, sheetsOf: SheetsOf) {
  return async (c: AppContext): Promise<Response> => {
    const body = await readBody(c, HANDS_BYTES_MAX);
    if (body.is === 'refused') return body.answer;
    const query = handsQuerySchema.safeParse(body.value);
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const ready = await readyFor(parts, sheetsOf, c, query.data.shift);
    if (ready.is === 'answered') return ready.answer;
    const sheet = await ready.sheets.sheet(ready.asked, ready.shift);
    return c.json(handsAnswer(sheet, ready.asked, query.data.badge));
  };
}

/** For the read interface: the same sheet, whoever asks for it. */
export function findSheet(parts: ServerParts, sheetsOf: SheetsOf): FindSheet {
  return async (c, from) => {
    const asked = await askedNow(parts, c);
    const sheets = sheetsOf(c);
    const shift = sheets.shiftFrom(asked, from);
    if (shift === null || shift.from > asked.now) return { is: 'no-shift' };
    const preparing = await sheets.ready(asked);
    if (preparing !== null) return { is: 'preparing', ...preparing };
    return { is: 'sheet', sheet: await sheets.sheet(asked, shift) };
  };
}

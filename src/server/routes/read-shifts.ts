/** GET /api/read/v1/shifts, and the sheet of one of them as JSON and as a table. */
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import { csvLines } from '../../domain/export/csv.ts';
import { sheetColumns } from '../../domain/export/sheet-table.ts';
import { siteTimeIn } from '../../domain/export/times.ts';
import type { ExportView } from '../../domain/export/view.ts';
import type { ShiftSheet } from '../../domain/figures/sheet.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import {
  READ_SHIFT_DAYS_MAX,
  type ReadSheetAnswer,
  type ReadShiftsAnswer,
  readDaysQuerySchema,
  readTimeSchema,
} from '../../wire/read.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { askingOf } from '../read/asking.ts';
import { dayRange } from '../read/days.ts';
import { UTF8_MARK } from '../read/exports.ts';
import { plainSheet, plainShift } from '../read/plain-sheet.ts';
import type { FindSheet } from '../read/sheets.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { attached } from './read-export.ts';

export function answerReadShifts({ ledger }: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const query = readDaysQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const { site } = c.get('bench');
    const [book, calendar] = [await ledger.book(site), await ledger.calendar(site)];
    if (book === null) throw new Error(`site ${site} has no book`);
    const range = dayRange(query.data, book.timeZone);
    if (range === null) return refuse(c, 'bad-request', ['to: lies before from']);
    if (range.to - range.from > (READ_SHIFT_DAYS_MAX + 1) * DAY_MS)
      return refuse(c, 'bad-request', [`to: ${READ_SHIFT_DAYS_MAX} days at most`]);
    const siteTime = siteTimeIn(book.timeZone);
    const shifts = shiftsBetween(calendar, book.timeZone, range.from, range.to)
      // One that crosses midnight belongs to the day on which it begins.
      .filter(({ day }) => query.data.from <= day && day <= query.data.to)
      .map((shift) => plainShift(shift, siteTime));
    return c.json({ shifts } satisfies ReadShiftsAnswer);
  };
}

type Shown = (c: AppContext, sheet: ShiftSheet, view: ExportView) => Response;

export function answerReadSheet(parts: ServerParts, findSheet: FindSheet) {
  return answerWith(parts, findSheet, (c, sheet, view) =>
    c.json(plainSheet(sheet, view) satisfies ReadSheetAnswer),
  );
}

export function answerSheetTable(parts: ServerParts, findSheet: FindSheet) {
  return answerWith(parts, findSheet, (c, sheet, view) => {
    const { site } = c.get('bench');
    const text = `${UTF8_MARK}${[...csvLines(sheetColumns(view), sheet.stages)].join('')}`;
    const name = `${site}-sheet-${sheet.shift.day}.csv`;
    return c.body(text, 200, attached(name, 'text/csv; charset=utf-8; header=present'));
  });
}

function answerWith(parts: ServerParts, findSheet: FindSheet, shown: Shown) {
  return async (c: AppContext): Promise<Response> => {
    const from = instantIn(c.req.param('from') ?? '');
    if (from === null) return refuse(c, 'bad-request', ['from: is no time as 2026-11-02T07:00:00.000Z']);
    const found = await findSheet(c, from);
    switch (found.is) {
      case 'no-shift':
        return refuse(c, 'not-found', ['from: no shift has begun then']);
      case 'preparing':
        return c.json({ preparing: { done: found.done, of: found.of } }, 202);
      case 'sheet': {
        const asking = await askingOf(parts, c, 'pseudonyms');
        if (asking === null) throw new Error('pseudonyms are for everybody');
        return shown(c, found.sheet, asking.view);
      }
    }
  };
}

function instantIn(text: string): Instant | null {
  return readTimeSchema.safeParse(text).success ? Date.parse(text) : null;
}

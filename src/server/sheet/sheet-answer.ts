/** A computed sheet as the desk is told it: numbers with the names that the site's book has for them, and no person. */
import type { ShiftSpan } from '../../domain/calendar/calendar.ts';
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import { total } from '../../domain/figures/member.ts';
import type { ShiftSheet, Spread, StageFigures } from '../../domain/figures/sheet.ts';
import type { StageCode } from '../../domain/ids.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { SheetAnswer, StageLine } from '../../wire/sheet.ts';
import type { Asked } from './asked.ts';
import { personalFigures } from './personal.ts';

/** The next shift before or after is looked for so far: beyond a shut-down of six weeks. */
const NEIGHBOURS_MS = 45 * DAY_MS;

export function sheetAnswer(sheet: ShiftSheet, asked: Asked): Omit<SheetAnswer, 'state'> {
  const { book, now } = asked;
  const { line, shift, at } = sheet;
  const { holdsBack } = line;
  return {
    shift: { ...shift, breaks: [...shift.breaks] },
    at,
    ...neighbours(shift, asked),
    stages: sheet.stages.map((figures) => stageLine(figures, book)),
    handsOn: sheet.hands.filter(({ onMs }) => onMs > 0).length,
    personal: personalFigures(book, shift, now),
    line: {
      inWork: total(line.inWork),
      boxed: total(line.boxed),
      rolledYield: line.rolledYield,
      little: line.little,
      holdsBack: holdsBack === null ? null : { ...holdsBack, name: stageName(book, holdsBack.stage) },
    },
    amended: sheet.amended.length,
  };
}

export function stageName(book: SiteBook, stage: StageCode): string {
  return book.stages.find(({ code }) => code === stage)?.name ?? stage;
}

function stageLine(figures: StageFigures, book: SiteBook): StageLine {
  const { stage, oldest, utilisation } = figures;
  return {
    stage,
    name: stageName(book, stage),
    in: total(figures.in),
    out: total(figures.out),
    sentBackFrom: total(figures.sentBackFrom),
    sentBackTo: total(figures.sentBackTo),
    firstPass: total(figures.firstPass),
    touch: spread(figures.touch),
    wait: spread(figures.wait),
    waiting: total(figures.waiting),
    oldest,
    endUnknown: total(figures.endUnknown),
    utilisation,
  };
}

function spread({ median, ninth, members }: Spread) {
  return { median, ninth, count: members.length };
}

function neighbours(shift: ShiftSpan, { calendar, book, now }: Asked) {
  const around = shiftsBetween(
    calendar,
    book.timeZone,
    shift.from - NEIGHBOURS_MS,
    shift.to + NEIGHBOURS_MS,
  ).map(({ from }) => from);
  const before = around.findLast((from) => from < shift.from) ?? null;
  const after: Instant | null = around.find((from) => from > shift.from && from <= now) ?? null;
  return { before, after };
}

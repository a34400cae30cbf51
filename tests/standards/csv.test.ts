/**
 * Tables against RFC 4180 (October 2005), section 2, and against OWASP's list of what a spreadsheet takes for a formula
 * («CSV Injection», with LF since 2025; ASVS 5.0, requirement 1.2.10, for NUL). The files are read by papaparse, which is
 * not ours.
 */
import fc from 'fast-check';
import { DateTime } from 'luxon';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { type Column, csvLine, csvLines } from '../../src/domain/export/csv.ts';
import { type RecordRow, recordColumns } from '../../src/domain/export/record-table.ts';
import { sheetColumns } from '../../src/domain/export/sheet-table.ts';
import { type SpellRow, spellColumns } from '../../src/domain/export/spell-table.ts';
import { inUtc, siteTimeIn } from '../../src/domain/export/times.ts';
import { calledByName, exportView } from '../../src/domain/export/view.ts';
import type { ShiftSheet, StageFigures } from '../../src/domain/figures/sheet.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import {
  handAt,
  INES,
  MONDAY_8,
  PAIR,
  RUTH,
  siteBook,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';
import '../support/property-seed.ts';

type Row = readonly (string | number | null)[];

const textColumn = (index: number): Column<Row> => ({
  head: `T${index}`,
  is: 'text',
  of: (row) => {
    const cell = row[index];
    return typeof cell === 'number' ? String(cell) : (cell ?? null);
  },
});
const numberColumn = (index: number): Column<Row> => ({
  head: `N${index}`,
  is: 'number',
  of: (row) => {
    const cell = row[index];
    return typeof cell === 'number' ? cell : null;
  },
});
const texts = (...cells: string[]) =>
  csvLine(
    cells.map((_, index) => textColumn(index)),
    cells,
  );

/** As papaparse reads it, told only the delimiter. */
function parsed(text: string): string[][] {
  const { data, errors } = Papa.parse<string[]>(text, { delimiter: ',', skipEmptyLines: false });
  expect(errors).toEqual([]);
  // Rule 2: the last record ends with a line break too, after which there is none.
  return data.slice(0, -1);
}

describe('RFC 4180, section 2', () => {
  test('rules 1, 2 and 4: aaa,bbb,ccc CRLF zzz,yyy,xxx CRLF', () => {
    expect(texts('aaa', 'bbb', 'ccc') + texts('zzz', 'yyy', 'xxx')).toBe('aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n');
  });

  test('rule 3: the first line names the fields, as many as every record has', () => {
    const columns = [0, 1, 2].map(textColumn);
    expect([...csvLines(columns, [['aaa', 'bbb', 'ccc']])]).toEqual(['T0,T1,T2\r\n', 'aaa,bbb,ccc\r\n']);
  });

  test('rule 4: spaces are part of a field', () => {
    expect(parsed(texts(' a ', 'b '))).toEqual([[' a ', 'b ']]);
  });

  test('rule 6: "aaa","b CRLF bb","ccc" is one record of three fields', () => {
    expect(texts('aaa', 'b\r\nbb', 'ccc')).toBe('aaa,"b\r\nbb",ccc\r\n');
    expect(parsed(texts('aaa', 'b\r\nbb', 'ccc'))).toEqual([['aaa', 'b\r\nbb', 'ccc']]);
    expect(texts('a,b')).toBe('"a,b"\r\n');
  });

  test('rule 7: "aaa","b""bb","ccc"', () => {
    expect(texts('aaa', 'b"bb', 'ccc')).toBe('aaa,"b""bb",ccc\r\n');
  });

  test('any texts and numbers come back in their fields, marks apart', () => {
    const cell = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc
        .array(fc.constantFrom(...'=+-@\t\r\n\0 \u00a0",;\'aé😀'), { maxLength: 8 })
        .map((letters) => letters.join('')),
    );
    const row = fc.tuple(cell, fc.double({ noNaN: true, noDefaultInfinity: true }), cell);
    fc.assert(
      fc.property(fc.array(row, { maxLength: 6 }), (rows) => {
        const columns = [textColumn(0), numberColumn(1), textColumn(2)];
        const [heads, ...read] = parsed([...csvLines<Row>(columns, rows)].join(''));
        expect(heads).toEqual(['T0', 'N1', 'T2']);
        expect(read.length).toBe(rows.length);
        for (const [index, [first, number, last]] of rows.entries()) {
          const [a = '', n = '', b = ''] = read[index] ?? [];
          expect([withoutMarks(a), withoutMarks(b)]).toEqual([withoutMarks(first), withoutMarks(last)]);
          expect(Number(n)).toBe(number === 0 ? 0 : number);
        }
      }),
      { numRuns: 500 },
    );
  });
});

const withoutMarks = (text: string) => text.replaceAll("'", '');

/** Whether a cell with this text could be taken for a formula, in words of its own: letter by letter, without a pattern. */
function couldBeFormula(text: string): boolean {
  const isControl = (letter: string) => ['\t', '\r', '\n', '\0'].includes(letter);
  const isBlank = (letter: string) => letter.trim() === '' || letter === '\0' || letter === '\u200b';
  const first = [...text].find((letter) => isControl(letter) || !isBlank(letter));
  if (first !== undefined && isControl(first)) return true;
  let beginning = true;
  for (const letter of text) {
    if (beginning && '=+-@＝＋－＠'.includes(letter)) return true;
    if (['\r', '\n', '\t', ';'].includes(letter)) beginning = true;
    else if (!isBlank(letter)) beginning = false;
  }
  return false;
}

describe('formulas', () => {
  test.each([
    ['=1+1', "'=1+1"],
    ['+1', "'+1"],
    ['-1', "'-1"],
    ['@SUM(1)', "'@SUM(1)"],
    ['\t=1', "'\t'=1"],
    ['\r=1', "'\r'=1"],
    ['\n=1', "'\n'=1"],
    ['\0=1', "'\0=1"],
    ['\ttext', "'\ttext"],
    ['\0text', "'\0text"],
    ['=HYPERLINK("x")', '\'=HYPERLINK("x")'],
    // Ways round a look at the first letter alone.
    ['  =1', "'  =1"],
    ['\u00a0=1', "'\u00a0=1"],
    ['\u200b=1', "'\u200b=1"],
    ['\ufeff=1', "'\ufeff=1"],
    ['worn\n=1', "worn\n'=1"],
    ['worn\r\n =1', "worn\r\n' =1"],
    ['worn\n\n=1', "worn\n\n'=1"],
    ['  \tx', "'  \tx"],
    ['\u00a0\0x', "'\u00a0\0x"],
    ['worn;=1', "worn;'=1"],
    ['worn\t@SUM(1)', "worn\t'@SUM(1)"],
    ['＝1', "'＝1"],
    // No formula, and left alone.
    ['a=1', 'a=1'],
    ['left -5 mm', 'left -5 mm'],
    ['', ''],
    ["'quoted'", "'quoted'"],
    ['8½', '8½'],
  ])('%j stands as %j', (text, stands) => {
    expect(parsed(texts(text, 'x'))).toEqual([[stands, 'x']]);
  });

  test('no text leaves a cell that could be a formula, and one that could not is not touched', () => {
    const letter = fc.constantFrom(...'=+-@＝\t\r\n\0 \u00a0\u200b;,"\'ab1');
    const hostile = fc.array(letter, { maxLength: 10 }).map((letters) => letters.join(''));
    fc.assert(
      fc.property(fc.oneof(hostile, fc.string()), (text) => {
        const [[stands = ''] = []] = parsed(texts(text, 'x'));
        expect(couldBeFormula(stands)).toBe(false);
        if (!couldBeFormula(text)) expect(stands).toBe(text);
      }),
      { numRuns: 2000 },
    );
  });

  test('a number is left a number, below nothing too; what is none is no cell of such a column', () => {
    const columns = [numberColumn(0), numberColumn(1)];
    expect(csvLine<Row>(columns, [-5, null])).toBe('-5,\r\n');
    expect(csvLine<Row>(columns, [0.5, -1.25])).toBe('0.5,-1.25\r\n');
    expect(() => csvLine<Row>(columns, [Number.NaN, 1])).toThrow(RangeError);
  });
});

describe('the tables', () => {
  const book = siteBook({ timeZone: 'Europe/London' });
  const called = exportView(book, (hand) => `hand-of-${hand}`);
  const named = exportView(book, calledByName(book));
  const cellsOf = <Of>(columns: readonly Column<Of>[], row: Of) => {
    const [heads = [], cells = []] = parsed([...csvLines(columns, [row])].join(''));
    return Object.fromEntries(heads.map((head, index) => [head, cells[index] ?? '']));
  };

  test('a record: both times, whose it is, why, and nothing that it does not say', () => {
    // 6 July is in summer time: UTC+1.
    const at = Date.parse('2026-07-06T07:00:00.250Z');
    const record = handAt(WELTING).write('sent-back', { at, reason: '=cmd', shoe: 'left' });
    const row: RecordRow = { pos: 7, record };
    expect(cellsOf(recordColumns(called), row)).toEqual({
      Record: record.id,
      Position: '7',
      Pair: PAIR,
      Kind: 'sent-back',
      Stage: 'LAY',
      'Stage name': 'Sole laying',
      Shoe: 'left',
      Bench: WELTING,
      'Bench name': 'Welting',
      Hand: `hand-of-${INES}`,
      'At, site time': '2026-07-06T08:00:00.250+01:00',
      'At, UTC': '2026-07-06T07:00:00.250Z',
      'Clock known': 'yes',
      Outcome: '',
      Why: "'=cmd",
      'Sent back to': 'WLT',
      'Other hand': '',
      'About record': '',
      'Number at the bench': '1',
    });
    expect(cellsOf(recordColumns(named), row).Hand).toBe('Ines Okafor');
    // What is stored is as it was.
    expect(record.reason).toBe('=cmd');
  });

  test('hands that a record names besides are called as the others are', () => {
    const record = handAt(WELTING, RUTH).write('hand-joined', { hand: TOMASZ });
    const line = csvLine(recordColumns(called), { pos: 1, record });
    expect(line).toContain(`hand-of-${TOMASZ}`);
    expect(line.replaceAll('hand-of-', '').match(/op-tomasz/g)).toHaveLength(1);
    expect(
      csvLine(recordColumns(called), { pos: 1, record }).replaceAll(`hand-of-${TOMASZ}`, ''),
    ).not.toContain(TOMASZ);
  });

  test('two hands of one name are told apart, and whoever has left the book has the id', () => {
    const operatives = [INES, RUTH].map((id) => ({
      id,
      name: 'Ada Fenn',
      role: 'hand' as const,
      released: null,
    }));
    const call = calledByName({ operatives });
    expect([INES, RUTH, TOMASZ].map(call)).toEqual(['Ada Fenn (op-ines)', 'Ada Fenn (op-ruth)', TOMASZ]);
  });

  test('a spell: its minutes where they are known, and what became of it', () => {
    const hand = handAt(WELTING);
    const begun = hand.write('clocked-in', { shoe: 'left' });
    const joined = hand.write('hand-joined', { of: begun.id });
    const ended = hand.write('clocked-out', { of: begun.id, at: begun.at + 12.5 * MINUTE_MS });
    const back = hand.write('sent-back', { to: WLT, shoe: 'left', at: ended.at + HOUR_MS });
    const { spells } = stateAfter(begun, joined, ended, back);
    const [spell] = spells;
    if (spell === undefined) throw new Error('there is no spell');
    const row: SpellRow = { pair: PAIR, job: 'FB', spell };
    expect(cellsOf(spellColumns(called), row)).toMatchObject({
      Pair: PAIR,
      Job: 'FB',
      Stage: 'WLT',
      Shoe: 'left',
      Hand: `hand-of-${INES}`,
      Beside: `hand-of-${TOMASZ}`,
      'Answers for it': '',
      'From, UTC': inUtc(begun.at),
      'To, UTC': inUtc(ended.at),
      'To, site time': siteTimeIn('Europe/London')(ended.at),
      Minutes: '12.5',
      'Times known': 'yes',
      'Times given later': 'no',
      Outcome: 'done',
      'Sent back': 'left',
    });
    const untimed = { ...row, spell: { ...spell, timed: false } };
    expect(cellsOf(spellColumns(called), untimed)).toMatchObject({ Minutes: '', 'Times known': 'no' });
  });

  test('the sheet’s stages: pairs in halves, lengths in minutes, nothing where nothing was measured', () => {
    const member = (share: number) => ({ pair: PAIR, share, records: [], ms: null });
    const stage: StageFigures = {
      stage: WLT,
      in: [member(1), member(0.5)],
      out: [member(1), member(1), member(0.5)],
      sentBackFrom: [],
      sentBackTo: [member(0.5)],
      firstPass: [member(1), member(1)],
      touch: { median: 7.25 * MINUTE_MS, ninth: 10 * MINUTE_MS, members: [] },
      wait: { median: null, ninth: null, members: [] },
      waiting: [member(1)],
      working: [member(0.5)],
      worked: [],
      on: [],
      oldest: { pair: PAIR, since: MONDAY_8 },
      endUnknown: [],
      utilisation: 0.123_456,
      workEach: null,
    };
    expect(cellsOf<ShiftSheet['stages'][number]>(sheetColumns(called), stage)).toEqual({
      Stage: 'WLT',
      'Stage name': 'Welt sewing',
      'Pairs in': '1.5',
      'Pairs out': '2.5',
      'Sent back from here': '0',
      'Sent back to here': '0.5',
      'First pass yield': '0.8',
      'Touch time, median, minutes': '7.25',
      'Touch time, ninth decile, minutes': '10',
      'Wait before, median, minutes': '',
      'Wait before, ninth decile, minutes': '',
      'Pairs waiting': '1',
      'Pairs in work': '0.5',
      'Waits longest': PAIR,
      'Waits since, site time': '2026-11-02T08:00:00.000+00:00',
      'Waits since, UTC': '2026-11-02T08:00:00.000Z',
      'End unknown': '0',
      Utilisation: '0.1235',
    });
    const idle = { ...stage, out: [], firstPass: [], oldest: null, utilisation: null };
    expect(cellsOf(sheetColumns(called), idle)).toMatchObject({
      'First pass yield': '',
      'Waits longest': '',
      Utilisation: '',
    });
  });
});

describe('times (RFC 3339)', () => {
  // RFC 3339, section 5.8: the same instant in UTC and with an offset.
  test('1996-12-19T16:39:57-08:00 is 1996-12-20T00:39:57Z', () => {
    const at = Date.parse('1996-12-20T00:39:57Z');
    expect(inUtc(at)).toBe('1996-12-20T00:39:57.000Z');
    expect(siteTimeIn('America/Los_Angeles')(at)).toBe('1996-12-19T16:39:57.000-08:00');
  });

  test('at any instant, and where the clocks change, it is what luxon says', () => {
    const zones = [
      'Europe/London',
      'America/St_Johns',
      'Australia/Lord_Howe',
      'Asia/Kathmandu',
      'Africa/Monrovia',
    ];
    const year = { min: 0, max: Date.parse('2040-01-01T00:00:00Z') };
    fc.assert(
      fc.property(
        fc.constantFrom(...zones),
        fc.array(fc.integer(year), { minLength: 1 }),
        (zone, instants) => {
          const siteTime = siteTimeIn(zone);
          for (const at of instants) {
            expect(Date.parse(siteTime(at))).toBe(at);
            expect(inUtc(at)).toBe(new Date(at).toISOString());
            const theirs = DateTime.fromMillis(at, { zone });
            // Monrovia was 44 minutes and 30 seconds behind until 1972, which no offset in RFC 3339 can say.
            if (Number.isInteger(theirs.offset))
              expect(siteTime(at)).toBe(theirs.toISO({ includeOffset: true })?.replace(/Z$/, '+00:00'));
          }
        },
      ),
      { numRuns: 200 },
    );
    const siteTime = siteTimeIn('Europe/London');
    // Sunday 25 October 2026, 01:00 UTC: from 02:00 back to 01:00.
    const back = Date.parse('2026-10-25T01:00:00Z');
    expect([siteTime(back - 1), siteTime(back)]).toEqual([
      '2026-10-25T01:59:59.999+01:00',
      '2026-10-25T01:00:00.000+00:00',
    ]);
  });

  test('any instant that a clock can say has a year of four digits', () => {
    const most = 2 ** 48 - 1;
    for (const at of [0, most]) {
      for (const text of [
        inUtc(at),
        siteTimeIn('Pacific/Kiritimati')(at),
        siteTimeIn('Pacific/Pago_Pago')(at),
      ])
        expect(text).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}(Z|[+-]\d\d:\d\d)$/);
    }
  });
});

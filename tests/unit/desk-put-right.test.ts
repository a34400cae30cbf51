/** What the desk records when something is settled, who may settle it, and the words beside it. */
import { describe, expect, test } from 'vitest';
import type { Office } from '../../src/desk/office.ts';
import {
  giveTime,
  mayPutRight,
  putRightList,
  settle,
  supervisorsOf,
  undoOf,
} from '../../src/desk/put-right-acts.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { PutRightItem } from '../../src/domain/put-right.ts';
import type { Settling } from '../../src/domain/put-right-settlings.ts';
import { PUT_RIGHT_KINDS } from '../../src/domain/record/kinds.ts';
import { judge } from '../../src/server/ledger/judge.ts';
import { instantShown, itemLine, itemMore, putRightWords, stockWhys } from '../../src/words/put-right.ts';
import { recordLine } from '../../src/words/whereabouts-account.ts';
import {
  DESK,
  handAt,
  INES,
  LAY,
  LAYING,
  MONDAY_8,
  PAIR,
  RUTH,
  siteBook,
  stateAfter,
  TOMASZ,
  WELTING,
} from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

const NOW = MONDAY_8 + DAY_MS + HOUR_MS;
const at = (minutes: number) => MONDAY_8 + minutes * MINUTE_MS;
const BOOK = siteBook({
  shifts: [MONDAY_8, MONDAY_8 + DAY_MS].map((from) => oneShift('Day', from, from + 8 * HOUR_MS)),
  benches: [
    { bench: WELTING, name: 'Welting', stages: [] },
    { bench: LAYING, name: 'Laying', stages: [] },
  ],
});

const desk = handAt(DESK, RUTH);
const logged = desk.write('pair-logged', { at: at(-60) });
const missed = handAt(WELTING).write('clocked-in', { at: at(60) });

/** Nothing is recorded here; what would be is what the acts say. */
const officeWith = (state: ReturnType<typeof stateAfter>, told: Partial<Office> = {}): Office => ({
  book: BOOK,
  desk: DESK,
  at: RUTH,
  pairs: new Map([[PAIR, state]]),
  outOfUse: [],
  readIn: true,
  upTo: NOW,
  waiting: 0,
  now: NOW,
  newTicket: () => Promise.reject(new Error('no ticket is wanted here')),
  record: () => Promise.reject(new Error('nothing is recorded here')),
  ...told,
});

function first(office: Office): { item: PutRightItem; time: Extract<Settling, { by: 'time' }> } {
  const [item] = putRightList(office);
  const time = item?.settlings.find((way) => way.by === 'time');
  if (item === undefined || time === undefined) throw new Error('nothing to give a time to');
  return { item, time };
}

test('a supervisor may, an operative and an empty chair may not', () => {
  expect([RUTH, INES, null].map((who) => mayPutRight(who, BOOK))).toEqual([true, false, false]);
  expect(supervisorsOf(BOOK)).toEqual(['Ruth Adeyemi']);
  expect(putRightWords.notSupervisor('Nell Harrow', supervisorsOf(BOOK))).toBe(
    'Nell Harrow cannot settle these: a supervisor has to do it (Ruth Adeyemi).',
  );
});

describe('a time', () => {
  const office = officeWith(stateAfter(logged, missed));
  const { item, time } = first(office);

  test('is recorded with the word that was typed, on one line, or with a stock one', () => {
    const chosen = { from: null, to: at(90), outcome: 'done' as const };
    const typed = giveTime(item, time, chosen, office, '  Ines\nsays so ');
    expect(typed).toMatchObject({
      is: 'acts',
      acts: [{ kind: 'time-given', said: { of: missed.id, to: at(90), why: 'Ines says so' } }],
    });
    expect(giveTime(item, time, chosen, office, ' ')).toMatchObject({
      acts: [{ said: { why: stockWhys.time } }],
    });
  });

  test.each([
    ['before the beginning', at(59), putRightWords.backwards],
    ['still to come', NOW + 1, putRightWords.ahead],
  ])('%s is not recorded, and the desk says why', (_, to, says) => {
    const chosen = { from: null, to, outcome: 'done' as const };
    expect(giveTime(item, time, chosen, office, '')).toEqual({ is: 'missing', says });
  });

  test('that crosses its own beginning is not recorded', () => {
    const chosen = { from: at(70), to: at(69), outcome: null };
    const both = { ...time, asks: 'both' as const };
    expect(giveTime(item, both, chosen, office, '')).toEqual({ is: 'missing', says: putRightWords.crossed });
  });
});

test('what was recorded can be taken back, the last first; a taking back cannot', () => {
  const given = desk.write('time-given', { of: missed.id, to: at(90) });
  const looked = desk.write('looked-into', { of: missed.id });
  expect(undoOf([given, looked])).toMatchObject([
    { kind: 'voided', said: { pair: PAIR, of: looked.id } },
    { kind: 'voided', said: { pair: PAIR, of: given.id } },
  ]);
  expect(undoOf([desk.write('voided', { of: given.id })])).toEqual([]);
});

test('one list for one state of the office, and a new one for the next', () => {
  const office = officeWith(stateAfter(logged, missed));
  expect(putRightList(office)).toBe(putRightList(office));
  const { item } = first(office);
  const settled = settle(item, { by: 'stands' }, '');
  expect(settled).toMatchObject({ acts: [{ kind: 'looked-into', said: { what: 'left-open' } }] });
  const looked = desk.write('looked-into', { of: item.of, what: 'left-open', at: NOW });
  expect(putRightList(officeWith(stateAfter(logged, missed, looked)))).toEqual([]);
});

test('the server takes neither word from nobody', () => {
  const words = [
    desk.write('time-given', { of: missed.id, to: at(90), by: null }),
    desk.write('looked-into', { of: missed.id, by: null }),
  ];
  for (const word of words) {
    const writer = { site: word.site, bench: word.bench, place: 'desk' as const };
    const reasons = ['by: is nobody, and this is for a named person'];
    expect(judge(word, writer)).toMatchObject({ is: 'unfit', id: word.id, reasons });
    expect(judge({ ...word, by: RUTH }, writer).is).toBe('fit');
  }
});

describe('the words', () => {
  test('say where, who and since when; and what it cannot stand beside', () => {
    const second = handAt(LAYING, TOMASZ).write('clocked-in', { at: NOW - 20 * MINUTE_MS, stage: LAY });
    const today = handAt(WELTING).write('clocked-in', { at: NOW - 30 * MINUTE_MS });
    const office = officeWith(stateAfter(logged, today, second));
    const [item] = putRightList(office);
    if (item === undefined) throw new Error('nothing is on the list');
    expect(itemLine(item, office)).toBe('Sole laying, Laying · Tomasz Lindqvist · 08:40');
    expect(itemMore(item, office)).toBe('Beside Welt sewing, Welting, 08:30, still open');
    expect(instantShown(at(90), 'Europe/London')).toBe('Mon 2 Nov, 09:30');
  });

  test('there are some for every kind', () => {
    for (const kind of PUT_RIGHT_KINDS) {
      expect(putRightWords.kind(kind)).toMatch(/^[A-Z]/);
      expect(putRightWords.hint(kind)).toMatch(/[.?]$/);
    }
  });

  test('the pair’s account says what was given, and what was looked into', () => {
    const lines = [
      desk.write('time-given', { of: missed.id, to: at(90), outcome: 'done', why: 'Ines says so' }),
      desk.write('time-given', { of: missed.id, outcome: 'not-finished' }),
      desk.write('time-given', { of: missed.id, from: at(0), to: at(1) }),
      desk.write('looked-into', { of: missed.id, what: 'out-twice', why: 'the same work' }),
    ].map((record) => recordLine(record, BOOK));
    expect(lines).toEqual([
      'Time put right: ended Mon 2 Nov, 09:30, finished: Ines says so',
      'Time put right: put down, not finished, nobody knows when: the hand says so',
      'Time put right: began Mon 2 Nov, 08:00, ended Mon 2 Nov, 08:01: the hand says so',
      'Looked into, and stands: clocked out twice: the same work',
    ]);
  });
});

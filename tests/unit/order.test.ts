import { describe, expect, test } from 'vitest';
import { inOrder, type Placed } from '../../src/domain/fold/order.ts';
import type { BenchId } from '../../src/domain/ids.ts';
import { asBenchId, asRecordId } from '../../src/domain/ids.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import {
  handAt,
  INES,
  LAYING,
  MONDAY_8,
  placed,
  seenUpTo,
  TOMASZ,
  unplaced,
  WELTING,
} from '../support/builders.ts';

const at = (minutes: number) => MONDAY_8 + minutes * MINUTE_MS;

/** The records in order, each by the name that the test gave it; a doubtful one has a ? behind it. */
function told(named: Readonly<Record<string, LedgerRecord>>, held: readonly Placed[]): string {
  const nameOf = new Map(Object.entries(named).map(([name, { id }]) => [id, name]));
  return inOrder(held)
    .map(({ record, clockDoubtful }) => `${nameOf.get(record.id)}${clockDoubtful ? '?' : ''}`)
    .join(' ');
}

const taken = (bench: BenchId, seq: number, minutes: number) =>
  handAt(bench).write('taken-up', { seq, at: at(minutes) });

describe('the order of a pair’s records', () => {
  test('goes by the corrected instant where nothing else is known', () => {
    const named = { late: taken(WELTING, 1, 20), early: taken(LAYING, 1, 10) };
    expect(told(named, unplaced(Object.values(named)))).toBe('early late');
  });

  test('at the same instant goes by bench', () => {
    const named = { w: taken(WELTING, 1, 0), l: taken(LAYING, 2, 0) };
    expect(told(named, unplaced(Object.values(named)))).toBe('l w');
  });

  test('at one bench follows its sequence, and doubts the clock that went back', () => {
    const named = { second: taken(WELTING, 2, 5), first: taken(WELTING, 1, 10) };
    expect(told(named, unplaced(Object.values(named)))).toBe('first second?');
  });

  test('goes by the whole number of the sequence, not by its digits', () => {
    const named = { tenth: taken(WELTING, 10, 5), ninth: taken(WELTING, 9, 5) };
    expect(told(named, unplaced(Object.values(named)))).toBe('ninth tenth');
  });

  test('a bench whose clock went back holds up no other bench', () => {
    const named = { a1: taken(WELTING, 1, 30), a2: taken(WELTING, 2, 5), b: taken(LAYING, 1, 10) };
    expect(told(named, unplaced(Object.values(named)))).toBe('b a1 a2?');
  });

  test('puts a record after what its tablet had seen, and doubts a clock that says otherwise', () => {
    const seenIt = handAt(LAYING).write('taken-up', { at: at(0), seen: seenUpTo(1) });
    const named = { seen: taken(WELTING, 1, 60), seenIt };
    expect(told(named, placed(Object.values(named)))).toBe('seen seenIt?');
  });

  test('says nothing about what its tablet had not yet seen', () => {
    const sawOne = handAt(LAYING).write('taken-up', { at: at(0), seen: seenUpTo(1) });
    const named = { first: taken(WELTING, 1, -5), later: taken(WELTING, 2, 60), sawOne };
    expect(told(named, placed(Object.values(named)))).toBe('first sawOne later');
  });

  test('cannot compare what was seen with the positions of another epoch', () => {
    const seenIt = handAt(LAYING).write('taken-up', { at: at(0), seen: seenUpTo(1, 'ffffffff') });
    const named = { seen: taken(WELTING, 1, 60), seenIt };
    expect(told(named, placed(Object.values(named)))).toBe('seenIt seen');
  });

  test('puts a clock-out after the clock-in that it names, though nothing was seen and a clock is hours off', () => {
    const clockIn = handAt(WELTING).write('clocked-in', { at: at(180) });
    const clockOut = handAt(LAYING).write('clocked-out', { at: at(20), of: clockIn.id });
    expect(told({ clockIn, clockOut }, unplaced([clockOut, clockIn]))).toBe('clockIn clockOut?');
  });

  test.each(['note-seen', 'note-cured'] as const)('puts a %s after its note', (kind) => {
    const note = handAt(WELTING).write('noted', { at: at(180) });
    const answer = handAt(LAYING).write(kind, { at: at(20), note: note.id });
    expect(told({ note, answer }, unplaced([answer, note]))).toBe('note answer?');
  });

  test.each([
    'hand-joined',
    'pair-amended',
    'note-released',
    'stage-asked',
    'owner-asked',
    'pictured',
    'time-given',
    'looked-into',
  ] as const)('puts a %s after what it names', (kind) => {
    const named = handAt(WELTING).write('noted', { at: at(180) });
    const names = { of: named.id, after: named.id, note: named.id };
    const answer = handAt(LAYING).write(kind, { at: at(20), ...names });
    expect(told({ named, answer }, unplaced([answer, named]))).toBe('named answer?');
  });

  test('puts a void after what it takes back', () => {
    const aside = handAt(WELTING).write('set-aside', { at: at(180) });
    const undo = handAt(LAYING).write('voided', { at: at(20), of: aside.id });
    expect(told({ aside, undo }, unplaced([undo, aside]))).toBe('aside undo?');
  });

  test('doubts only the record that contradicts, not the one that it contradicts', () => {
    const future = taken(WELTING, 1, 48 * 60);
    const [second, third] = [taken(WELTING, 2, 1), taken(WELTING, 3, 2)];
    expect(told({ future, second, third }, unplaced([third, second, future]))).toBe('future second? third?');
  });
});

describe('records that came more than once', () => {
  const seen = taken(WELTING, 1, 60);
  const seenIt = handAt(LAYING).write('taken-up', { at: at(0), seen: seenUpTo(1) });
  const [own] = unplaced([seen]);
  const both = placed([seen, seenIt]);

  test('count once, and the server’s copy counts before the tablet’s own', () => {
    if (own === undefined) throw new Error('nothing placed');
    expect(told({ seen, seenIt }, [own, ...both])).toBe('seen seenIt?');
    expect(told({ seen, seenIt }, [...both, own])).toBe('seen seenIt?');
  });
});

describe('what cannot come about honestly', () => {
  test('a ring of seen: the earliest goes first and is doubted', () => {
    const a = handAt(WELTING, INES).write('taken-up', { at: at(0), seen: seenUpTo(2) });
    const b = handAt(LAYING, TOMASZ).write('taken-up', { at: at(1), seen: seenUpTo(2) });
    expect(told({ a, b }, placed([a, b]))).toBe('a? b');
  });

  test('a sequence used twice: instant and id decide', () => {
    const twin = (id: string) => ({ ...taken(WELTING, 1, 0), id: asRecordId(id) });
    const one = twin('019a4b2c-0000-7000-8000-000000000001');
    const two = twin('019a4b2c-0000-7000-8000-000000000002');
    expect(told({ one, two }, unplaced([two, one]))).toBe('one two');
  });
});

test('nothing has an order too', () => {
  expect(inOrder([])).toEqual([]);
});

/** A pair has some dozens of records; fifty times as many from benches with wrong clocks must not be felt. */
test('two thousand records of contradicting clocks are put in order at once', () => {
  const records = Array.from({ length: 2000 }, (_, index) =>
    taken(asBenchId(`bench-${index % 20}`), Math.floor(index / 20) + 1, 2000 - index),
  );
  const held = placed(records);
  const started = performance.now();
  const ordered = inOrder(held);
  const took = performance.now() - started;
  const ofFirst = ordered.filter(({ record }) => record.bench === records[0]?.bench);
  expect(ofFirst.map(({ record }) => record.seq)).toEqual(
    Array.from({ length: 100 }, (_, index) => index + 1),
  );
  expect(ordered.length).toBe(2000);
  // What is cubic takes seven seconds and more here.
  expect(took).toBeLessThan(2000);
});

test('a bench counts its records to a number that it will never reach', () => {
  const read = (seq: number) => readRecord({ ...taken(WELTING, 1, 0), seq }).is;
  expect([read(0), read(1), read(999_999_999), read(1_000_000_000), read(1.5)]).toEqual([
    'bad',
    'record',
    'record',
    'bad',
    'bad',
  ]);
});

/** What has been looked into must not hide what came after it. */
import { expect, test } from 'vitest';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { asBenchId, asPairId, type BenchId, type PairId } from '../../src/domain/ids.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { toPutRight } from '../../src/domain/put-right.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  handAt,
  INES,
  LAYING,
  MONDAY_8,
  placed,
  RUTH,
  siteBook,
  WELTING,
} from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

const at = (minutes: number) => MONDAY_8 + minutes * MINUTE_MS;
const BOOK = siteBook({ shifts: [oneShift('Day', MONDAY_8, MONDAY_8 + 8 * HOUR_MS, [])] });
const [ONE, TWO, THREE] = ['P030000Y', 'P7K4292W', 'P7K42M3X'].map(asPairId) as [PairId, PairId, PairId];
const CLEANING = asBenchId('bench-cleaning');

/** Work of one hand at a bench. */
function work(bench: BenchId, pair: PairId, from: number, to: number) {
  const begun = handAt(bench, INES).write('clocked-in', { pair, at: at(from) });
  return [
    begun,
    handAt(bench, INES).write('clocked-out', { seq: 2, pair, of: begun.id, at: at(to) }),
  ] as const;
}

const [first, second, third] = [
  work(WELTING, ONE, 0, 15),
  work(LAYING, TWO, 10, 40),
  work(CLEANING, THREE, 30, 60),
];
const desk = handAt(DESK, RUTH);
const clashes = (...records: readonly LedgerRecord[]) => {
  const states = [ONE, TWO, THREE].map((pair) =>
    foldPair(pair, placed(records.filter((record) => 'pair' in record && record.pair === pair))),
  );
  return toPutRight(states, [], BOOK, BOOK.shifts, at(120))
    .filter(({ kind }) => kind === 'hand-at-two-benches')
    .map(({ of }) => of);
};

test('a hand at two benches that was looked into hides no later clash with the very same work', () => {
  const seconds = second[0].id;
  expect(clashes(...first, ...second)).toEqual([seconds]);
  const looked = desk.write('looked-into', {
    pair: TWO,
    of: seconds,
    what: 'hand-at-two-benches',
    at: at(20),
  });
  expect(clashes(...first, ...second, looked)).toEqual([]);
  expect(clashes(...first, ...second, looked, ...third)).toEqual([third[0].id]);
});

test('it stays settled where times given since make the other of the two the later one', () => {
  const looked = desk.write('looked-into', {
    pair: TWO,
    of: second[0].id,
    what: 'hand-at-two-benches',
    at: at(70),
  });
  const given = desk.write('time-given', {
    pair: ONE,
    of: first[0].id,
    from: at(12),
    to: at(20),
    at: at(70),
  });
  expect(clashes(...first, ...second, given)).toEqual([first[0].id]);
  expect(clashes(...first, ...second, given, looked)).toEqual([]);
});

import { describe, expect, test } from 'vitest';
import { hadSeen, inOrder, SLACK_MS } from '../../src/domain/fold/order.ts';
import { handAt, LAYING, MONDAY_8, placed, seenUpTo, unplaced, WELTING } from '../support/builders.ts';

describe('what a writer had seen', () => {
  const bench = handAt(WELTING);
  const [first, second] = [bench.write('taken-up'), bench.write('taken-up')];
  const readUpTo = (pos: number, epoch?: string) =>
    handAt(LAYING).write('taken-up', { seen: seenUpTo(pos, epoch) });
  const held = placed([first, second]);

  test('is what its own bench had written before, wherever it is held', () => {
    expect(hadSeen(second, first, unplaced([first, second]))).toBe(true);
  });

  test('is not what its own bench wrote later, nor the record itself', () => {
    expect(hadSeen(first, second, held)).toBe(false);
    expect(hadSeen(first, first, held)).toBe(false);
  });

  test('is not what its own bench wrote later, though its cursor was past it', () => {
    const early = { ...first, seen: seenUpTo(2) };
    expect(hadSeen(early, second, placed([early, second]))).toBe(false);
  });

  test('is of other benches what stands up to its cursor, and nothing beyond it', () => {
    expect([first, second].map((record) => hadSeen(readUpTo(1), record, held))).toEqual([true, false]);
    expect([first, second].map((record) => hadSeen(readUpTo(2), record, held))).toEqual([true, true]);
  });

  test('is nothing of other benches where it had read nothing', () => {
    expect(hadSeen(handAt(LAYING).write('taken-up'), first, held)).toBe(false);
  });

  test('is not what the server does not hold yet', () => {
    expect(hadSeen(readUpTo(9), first, [...unplaced([first]), ...placed([second])])).toBe(false);
  });

  test('cannot be told from a cursor of another epoch', () => {
    expect(hadSeen(readUpTo(9, 'ffffffff'), first, held)).toBe(false);
  });
});

test.each([
  ['by the slack of two offsets', SLACK_MS, false],
  ['by a millisecond more', SLACK_MS + 1, true],
])('a clock that went back %s', (_, backMs, doubtful) => {
  const bench = handAt(WELTING);
  const first = bench.write('taken-up', { at: MONDAY_8 });
  const second = bench.write('taken-up', { at: MONDAY_8 - backMs });
  expect(inOrder(unplaced([first, second])).map(({ clockDoubtful }) => clockDoubtful)).toEqual([
    false,
    doubtful,
  ]);
});

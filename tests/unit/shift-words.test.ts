/** What the shift sheet says: the first sentence in every case, numbers in few signs, and the lines before one goes. */
import { describe, expect, test } from 'vitest';
import { asPairId } from '../../src/domain/ids.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { item, SHIFT_END_KINDS } from '../../src/domain/shift-end-items.ts';
import { pairs, shiftWords, spread } from '../../src/words/shift.ts';
import { countShown, endHint, endLine, endWords } from '../../src/words/shift-end.ts';
import { DESK, INES, MONDAY_8, PAIR, siteBook, WELTING, WLT } from '../support/builders.ts';

const over = { runs: false, weekday: 'Monday' };
const runs = { runs: true, weekday: 'Monday' };

test.each([
  [31, 29, over, '31 pairs went out, 2 more than on a usual Monday.'],
  [1, 2.4, over, '1 pair went out, 1½ fewer than on a usual Monday.'],
  [29, 29.1, over, '29 pairs went out, as many as on a usual Monday.'],
  [0, 0, over, 'No pair went out, as on a usual Monday.'],
  [0, 3, over, 'No pair went out, 3 fewer than on a usual Monday.'],
  [4, null, over, '4 pairs went out.'],
  [0, 0, runs, 'No pair has gone out so far, as is usual by now on a Monday.'],
  [0, null, runs, 'No pair has gone out so far.'],
  [0.5, 0.5, runs, '½ pair has gone out so far, as many as is usual by now on a Monday.'],
  [12, 9, runs, '12 pairs have gone out so far, 3 more than is usual by now on a Monday.'],
])('%s out where %s is usual', (out, usual, day, says) => {
  expect(shiftWords.boxed(out, usual, day)).toBe(says);
});

test('a median and its ninth decile say their unit once where they share it', () => {
  expect(spread(11 * MINUTE_MS, 19 * MINUTE_MS)).toBe('11 (19) min');
  expect(spread(11 * MINUTE_MS, null)).toBe('11 min');
  expect(spread(4 * MINUTE_MS, 3 * HOUR_MS + 39 * MINUTE_MS)).toBe('4 min (3 h 39)');
  expect(pairs(2.5)).toBe('2½');
  expect([countShown(99), countShown(100)]).toEqual(['99', '99+']);
});

describe('the lines before one goes', () => {
  const naming = {
    book: siteBook({ benches: [{ bench: WELTING, name: 'Welting', stages: [WLT] }] }),
    now: MONDAY_8 + 5 * HOUR_MS,
    desk: DESK,
  };
  const one = item({ pair: PAIR, since: MONDAY_8, stage: WLT, bench: WELTING, by: INES });
  const back = (fault: string | null, why: string) =>
    item({ pair: asPairId('P030000Y'), since: MONDAY_8, stage: WLT, fault, why });

  test('each kind has a name of its own', () => {
    expect(new Set(SHIFT_END_KINDS.map(endWords.name)).size).toBe(SHIFT_END_KINDS.length);
  });

  test('say where, who and since when', () => {
    expect(endLine('clocked-in', one, naming)).toBe('Welt sewing · Welting · Ines Okafor · since 08:00');
    expect(endHint('clocked-in', [one], naming)).toBe('since 08:00');
    expect(endHint('clocked-in', [one, one], naming)).toBe('the oldest since 08:00');
  });

  test('count what was sent back by its fault, the most frequent first', () => {
    const items = [back(null, 'seam open'), back('w-inseam-cut', 'x'), back('w-inseam-cut', 'y')];
    expect(endHint('sent-back', items, naming)).toBe('Welt seam cut in trimming 2 ×; seam open');
    expect(endLine('sent-back', back(null, 'seam open'), naming)).toBe('to Welt sewing · seam open · 08:00');
  });

  test('say by when all is dry', () => {
    const dry = (hours: number) =>
      item({ pair: PAIR, since: MONDAY_8, stage: WLT, until: MONDAY_8 + hours * HOUR_MS });
    expect(endHint('first-thing', [dry(9), dry(12)], naming)).toBe('all dry by 20:00');
    expect(endLine('first-thing', dry(9), naming)).toBe('Welt sewing · dry by 17:00');
  });
});

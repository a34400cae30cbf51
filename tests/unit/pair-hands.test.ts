import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { handAt, INES, RUTH, spellOf, stateAfter, TOMASZ, WELTING } from '../support/builders.ts';

describe('hands that join', () => {
  const bench = handAt(WELTING, INES);
  const [first, second] = [bench.write('clocked-in'), bench.write('clocked-in')];
  const handsAt = (state: PairState, clockIn: typeof first) =>
    spellOf(state, clockIn).joined.map(({ hand, as }) => ({ hand, as }));
  const joined = (...told: readonly [typeof TOMASZ, 'beside' | 'answers'][]) => {
    const joins = told.map(([hand, as]) => bench.write('hand-joined', { of: second.id, hand, as }));
    return stateAfter(first, second, ...joins);
  };

  test('are at the spell that they joined, and at no other', () => {
    const state = joined([TOMASZ, 'beside']);
    expect(handsAt(state, first)).toEqual([]);
    expect(handsAt(state, second)).toEqual([{ hand: TOMASZ, as: 'beside' }]);
  });

  test('are two where two work beside, and one may do both', () => {
    const state = joined([TOMASZ, 'beside'], [RUTH, 'beside'], [TOMASZ, 'answers'], [RUTH, 'beside']);
    expect(handsAt(state, second)).toEqual([
      { hand: TOMASZ, as: 'beside' },
      { hand: RUTH, as: 'beside' },
      { hand: TOMASZ, as: 'answers' },
    ]);
  });
});

test('where nobody scanned, nobody has joined', () => {
  const record = handAt(WELTING).write('done-unscanned');
  expect(spellOf(stateAfter(record), record)).toMatchObject({ by: null, joined: [], timed: false });
});

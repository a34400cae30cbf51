/** What is open at a bench, where more than one thing is. */
import { describe, expect, test } from 'vitest';
import { foldBench } from '../../src/domain/fold/bench.ts';
import { asPairId } from '../../src/domain/ids.ts';
import { handAt, INES, PAIR, TOMASZ, WELTING } from '../support/builders.ts';

const OTHER_PAIR = asPairId('P2C4DX9E');

describe('of two pairs open at a bench', () => {
  const hand = handAt(WELTING);
  const first = hand.write('clocked-in');
  const second = hand.write('clocked-in', { pair: OTHER_PAIR, by: TOMASZ });

  test('the one that is clocked out is done, by whoever began it, and the other stays open', () => {
    const out = hand.write('clocked-out', { of: second.id, pair: OTHER_PAIR });
    const state = foldBench([first, second, out]);
    expect(state.open).toMatchObject([{ spell: first.id, pair: PAIR }]);
    expect(state.done).toMatchObject([{ record: out.id, pair: OTHER_PAIR, by: TOMASZ }]);
  });

  test('both stay open where the end of a third is told', () => {
    const out = hand.write('clocked-out');
    expect(foldBench([first, second, out]).open.map(({ spell }) => spell)).toEqual([first.id, second.id]);
  });
});

test('work of this bench that ended unscanned is done here all the same', () => {
  const hand = handAt(WELTING);
  const clockIn = hand.write('clocked-in');
  const out = hand.write('clocked-out', { of: clockIn.id, timed: false, by: TOMASZ });
  expect(foldBench([clockIn, out])).toMatchObject({ open: [], done: [{ record: out.id, by: INES }] });
});

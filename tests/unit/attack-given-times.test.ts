/** A time given to work that closed the pair once says nothing of how it left after that. */
import { expect, test } from 'vitest';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import {
  DESK,
  DSP,
  fullBook,
  handAt,
  LAYING,
  MONDAY_8,
  PAIR,
  placed,
  RUTH,
  stateAfter,
  WELTING,
  WLT,
} from '../support/builders.ts';

const at = (minutes: number) => MONDAY_8 + minutes * MINUTE_MS;

function leftTwice() {
  const [hand, desk] = [handAt(LAYING), handAt(DESK, RUTH)];
  const begun = hand.write('clocked-in', { stage: DSP, at: at(0) });
  const left = hand.write('clocked-out', {
    stage: DSP,
    of: begun.id,
    at: at(60),
    timed: false,
    closes: true,
  });
  const back = hand.write('sent-back', { from: DSP, to: DSP, at: at(100) });
  const again = hand.write('clocked-in', { stage: DSP, at: at(150) });
  const out = hand.write('clocked-out', { stage: DSP, of: again.id, at: at(200), closes: true });
  const given = (of: typeof begun.id, to: number) =>
    desk.write('time-given', { of, from: null, to: at(to), closes: true, at: at(300) });
  return { begun, left, back, again, out, given, desk };
}

test('a pair that came back and left again left when it left again', () => {
  const { begun, left, back, again, out, given } = leftTwice();
  expect(stateAfter(begun, left, back, again, out, given(begun.id, 40)).closedAt).toBe(at(200));
  expect(stateAfter(begun, left, back, again, out, given(again.id, 190)).closedAt).toBe(at(190));
  expect(stateAfter(begun, left, given(begun.id, 40)).closedAt).toBe(at(40));
  expect(stateAfter(begun, left, back, given(begun.id, 40)).closedAt).toBeNull();
});

test.each(['worked at another bench', 'sent back'] as const)(
  'a pair that was never clocked out at its last stage and %s since is in the works, whatever end is given',
  (since) => {
    const [hand, desk] = [handAt(LAYING), handAt(DESK, RUTH)];
    const begun = hand.write('clocked-in', { stage: DSP, at: at(0) });
    const later =
      since === 'sent back'
        ? desk.write('sent-back', { from: DSP, to: WLT, at: at(90) })
        : handAt(WELTING).write('clocked-in', { at: at(90) });
    const given = (minute: number) =>
      desk.write('time-given', {
        of: begun.id,
        from: null,
        to: at(minute),
        outcome: 'done',
        closes: true,
        at: at(120),
      });
    const closing = (minute: number) => {
      const records = [begun, later, given(minute)];
      const facts = factsOf(PAIR, placed(records), fullBook());
      return [stateAfter(...records).closedAt, facts?.closed?.at ?? null];
    };
    expect(closing(60)).toEqual([null, null]);
    expect(closing(100)).toEqual([at(100), at(100)]);
  },
);

test('a pair that was sent back and then handed back left when it was handed back', () => {
  const { begun, left, back, given, desk } = leftTwice();
  const handed = desk.write('handed-back', { at: at(250) });
  const state = stateAfter(begun, left, back, handed, given(begun.id, 40));
  expect(state.closedAt).toBe(at(250));
});

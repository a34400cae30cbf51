import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { isDone, shareAShoe } from '../../src/domain/fold/spells.ts';
import { wordsHeld } from '../../src/domain/fold/words.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { RecordOf } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  handAt,
  INES,
  INT,
  LAY,
  LAYING,
  MONDAY_8,
  NOBODYS_ID,
  RUTH,
  spellOf,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';

const logged = handAt(DESK, RUTH, MONDAY_8 - HOUR_MS).write('pair-logged');
const doneOn = (state: PairState, stage = WLT) =>
  (['both', 'left', 'right'] as const).filter((shoe) => isDone(state, stage, shoe));
const flagsOf = ({ flags }: PairState) => flags.map(({ flag, record }) => [flag, record]);

/** Work on one shoe or both, begun and finished. */
function worked(hand: ReturnType<typeof handAt>, stage = WLT, shoe: 'both' | 'left' | 'right' = 'both') {
  const clockIn = hand.write('clocked-in', { stage, shoe });
  return [clockIn, hand.write('clocked-out', { stage, of: clockIn.id })] as const;
}

describe('a stage of one shoe', () => {
  test('is done on that shoe, and on the pair once the other is done too', () => {
    const hand = handAt(WELTING);
    const left = worked(hand, WLT, 'left');
    expect(doneOn(stateAfter(logged, ...left))).toEqual(['left']);
    expect(doneOn(stateAfter(logged, ...left, ...worked(hand, WLT, 'right')))).toEqual([
      'both',
      'left',
      'right',
    ]);
  });

  test('sent back is undone on that shoe alone, and redone the pair is done again', () => {
    const hand = handAt(WELTING);
    const both = worked(hand);
    const back = hand.write('sent-back', { to: WLT, shoe: 'left' });
    expect(doneOn(stateAfter(logged, ...both, back))).toEqual(['right']);
    expect(doneOn(stateAfter(logged, ...both, back, ...worked(hand, WLT, 'left')))).toContain('both');
  });

  test('is undone with what else has to be done again: colour on both', () => {
    const hand = handAt(WELTING);
    const first = [...worked(hand), ...worked(hand, INT), ...worked(hand, LAY)];
    const again = [
      { stage: INT, shoe: 'left' as const },
      { stage: LAY, shoe: 'both' as const },
    ];
    const state = stateAfter(logged, ...first, hand.write('sent-back', { to: WLT, shoe: 'left', again }));
    expect([WLT, INT, LAY].map((stage) => doneOn(state, stage))).toEqual([['right'], ['right'], []]);
  });

  test('two shoes at two benches at once is no contradiction; one shoe at two benches is', () => {
    const left = handAt(WELTING).write('clocked-in', { shoe: 'left' });
    const there = handAt(LAYING, TOMASZ, MONDAY_8 + MINUTE_MS);
    const right = there.write('clocked-in', { shoe: 'right' });
    expect(stateAfter(logged, left, right).flags).toEqual([]);
    const both = there.write('clocked-in', { shoe: 'both' });
    expect(flagsOf(stateAfter(logged, left, both))).toEqual([['open-at-two-benches', both.id]]);
  });

  test.each([
    ['left', 'left', true],
    ['left', 'right', false],
    ['both', 'right', true],
    ['left', 'both', true],
  ] as const)('%s and %s share a shoe: %s', (one, other, shared) => {
    expect(shareAShoe(one, other)).toBe(shared);
  });
});

describe('done, and nobody scanned', () => {
  test('is done without a length, a hand or a time', () => {
    const late = handAt(WELTING).write('done-unscanned', { shoe: 'left' });
    const state = stateAfter(logged, late);
    expect(doneOn(state)).toEqual(['left']);
    expect(state.spells).toMatchObject([
      { by: null, from: late.at, to: late.at, timed: false, outcome: 'done' },
    ]);
  });

  test('an end that nobody scanned is an end whose time is not known', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id, timed: false });
    expect(spellOf(stateAfter(logged, clockIn, clockOut), clockIn)).toMatchObject({
      timed: false,
      outcome: 'done',
    });
  });
});

describe('a second hand', () => {
  const hand = handAt(WELTING);
  const clockIn = hand.write('clocked-in');

  test('is at the spell, once, however often it was said', () => {
    const beside = hand.write('hand-joined', { of: clockIn.id, hand: TOMASZ, as: 'beside' });
    const again = hand.write('hand-joined', { of: clockIn.id, hand: TOMASZ, as: 'beside' });
    const answers = hand.write('hand-joined', { of: clockIn.id, hand: RUTH, as: 'answers' });
    const state = stateAfter(logged, clockIn, beside, again, answers);
    expect(spellOf(state, clockIn).joined).toEqual([
      { hand: TOMASZ, as: 'beside', at: beside.at },
      { hand: RUTH, as: 'answers', at: answers.at },
    ]);
  });

  test('at no spell is flagged', () => {
    const nowhere = hand.write('hand-joined', { of: NOBODYS_ID });
    expect(flagsOf(stateAfter(logged, nowhere))).toEqual([['hand-without-spell', nowhere.id]]);
  });
});

describe('a word that lets past', () => {
  const told = (past: RecordOf<'let-through'>['past']) => {
    const hand = handAt(WELTING);
    const word = hand.write('let-through', { past, by: RUTH });
    const clockIn = hand.write('clocked-in');
    const out = (outcome: 'done' | 'not-finished') => hand.write('clocked-out', { of: clockIn.id, outcome });
    return { hand, word, clockIn, out };
  };

  test.each(['not-due', 'owners-yes', 'out-of-use', 'parted', 'not-on-route'] as const)(
    'about %s lasts until the stage is done',
    (past) => {
      const { hand, word, clockIn, out } = told(past);
      expect(wordsHeld(stateAfter(logged, word, clockIn))).toEqual([word]);
      expect(wordsHeld(stateAfter(logged, word, clockIn, out('not-finished')))).toEqual([word]);
      const done = stateAfter(logged, word, clockIn, out('done'));
      expect([wordsHeld(done), done.letThrough, done.letThroughUsed]).toEqual([[], [word], [word.id]]);
      expect(wordsHeld(stateAfter(logged, word, hand.write('done-unscanned')))).toEqual([]);
      expect(wordsHeld(stateAfter(logged, word, ...worked(hand, INT)))).toEqual([word]);
    },
  );

  test('about a hand lasts until that hand’s work ends: the next may be another’s', () => {
    const { word, clockIn, out } = told('not-released');
    expect(wordsHeld(stateAfter(logged, word, clockIn))).toEqual([word]);
    expect(wordsHeld(stateAfter(logged, word, clockIn, out('not-finished')))).toEqual([]);
  });

  test('goes by the order of the records, not by clocks: said after the work, it is for the next', () => {
    const [clockIn, clockOut] = worked(handAt(WELTING));
    const word = handAt(WELTING, INES, MONDAY_8 - HOUR_MS).write('let-through', { seq: 3 });
    expect(wordsHeld(stateAfter(logged, clockIn, clockOut, word))).toEqual([word]);
  });
});

test('a pair that left the works and is sent back is in the works again, and work on it is as it should be', () => {
  const hand = handAt(LAYING);
  const clockIn = hand.write('clocked-in', { stage: LAY });
  const clockOut = hand.write('clocked-out', { stage: LAY, of: clockIn.id, closes: true });
  const back = hand.write('sent-back', { to: LAY, shoe: 'both' });
  const again = hand.write('clocked-in', { stage: LAY });
  const state = stateAfter(logged, clockIn, clockOut, back, again);
  expect([state.closedAt, state.flags]).toEqual([null, []]);
});

test('a pair that leaves the works stands on no rack, and its lasts are free', () => {
  const hand = handAt(LAYING);
  const [racked, taken] = [hand.write('racked'), hand.write('last-taken')];
  const clockIn = hand.write('clocked-in', { stage: LAY });
  const out = hand.write('clocked-out', { stage: LAY, of: clockIn.id, closes: true });
  expect(stateAfter(logged, racked, taken, clockIn, out)).toMatchObject({
    closedAt: out.at,
    rack: null,
    last: null,
    handedBack: null,
  });
  const put = hand.write('clocked-out', {
    stage: LAY,
    of: clockIn.id,
    closes: true,
    outcome: 'not-finished',
  });
  expect(stateAfter(logged, racked, taken, clockIn, put)).toMatchObject({ closedAt: null, last: '82 8 F' });
});

test('a pair given back in parts has left, until it is worked or sent back again', () => {
  const hand = handAt(LAYING);
  const [racked, taken, given] = [hand.write('racked'), hand.write('last-taken'), hand.write('handed-back')];
  const gone = [logged, racked, taken, given] as const;
  expect(stateAfter(...gone)).toMatchObject({
    closedAt: given.at,
    handedBack: given,
    rack: null,
    last: null,
    met: given,
    flags: [],
  });
  const again = stateAfter(...gone, hand.write('clocked-in'));
  expect([again.closedAt, again.handedBack]).toEqual([null, null]);
  expect(again.flags.map(({ flag }) => flag)).toEqual(['work-after-closing']);
  expect(stateAfter(...gone, hand.write('sent-back'))).toMatchObject({ closedAt: null, handedBack: null });
  const slip = hand.write('voided', { of: given.id });
  expect(stateAfter(...gone, slip)).toMatchObject({ closedAt: null, rack: racked.rack, last: taken.last });
});

test('what was checked and boxed is so until it is sent back', () => {
  const hand = handAt(LAYING);
  const [checked, boxed] = [hand.write('checked'), hand.write('boxed')];
  expect(stateAfter(logged, checked, boxed)).toMatchObject({ checked, boxed });
  expect(stateAfter(logged, checked, boxed, hand.write('sent-back'))).toMatchObject({
    checked: null,
    boxed: null,
  });
});

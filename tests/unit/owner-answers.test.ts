import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asBenchId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { DESK, handAt, INES, MONDAY_8, RUTH, seenUpTo, stateAfter, type Told } from '../support/builders.ts';

/** The owner’s answer written at one desk, and then another at the shop’s. */
function answeredTwice(first: Told<'owner-answered'>, then: Told<'owner-answered'>) {
  const office = handAt(DESK, RUTH, MONDAY_8 - HOUR_MS);
  const logged = office.write('pair-logged', { yes: 'to-ask' });
  const one = office.write('owner-answered', first);
  const other = handAt(asBenchId('desk-shop'), INES, MONDAY_8).write('owner-answered', then);
  return { state: stateAfter(logged, one, other), other };
}

const apart = ({ flags }: PairState) => flags.filter(({ flag }) => flag === 'answered-apart');

describe('the owner’s answer written at two desks', () => {
  test.each<[string, Told<'owner-answered'>]>([
    ['another answer', { answer: 'stop' }],
    ['another job', { job: 'RS' }],
    ['another promise', { promised: '2026-12-24' }],
  ])('with %s, by one who could not know of the first, is flagged at the second', (_, otherwise) => {
    const { state, other } = answeredTwice({}, otherwise);
    expect(apart(state)).toMatchObject([{ record: other.id }]);
  });

  test('alike is no contradiction, however it was put', () => {
    expect(apart(answeredTwice({ words: 'go on' }, { words: 'do it, by all means' }).state)).toEqual([]);
  });

  test('otherwise, by one who had read the first, is the owner’s new word', () => {
    expect(apart(answeredTwice({}, { answer: 'stop', seen: seenUpTo(2) }).state)).toEqual([]);
  });

  test('otherwise, by one who had read up to just before the first, is flagged', () => {
    expect(apart(answeredTwice({}, { answer: 'stop', seen: seenUpTo(1) }).state)).toHaveLength(1);
  });

  test('at one desk twice is the owner’s new word', () => {
    const office = handAt(DESK, RUTH);
    const logged = office.write('pair-logged');
    const state = stateAfter(
      logged,
      office.write('owner-answered'),
      office.write('owner-answered', { answer: 'stop' }),
    );
    expect([apart(state), state.owner.is]).toEqual([[], 'stopped']);
  });
});

test('an answer is held against the one before it, not against the first', () => {
  const [office, shop] = [handAt(DESK, RUTH), handAt(asBenchId('desk-shop'), INES, MONDAY_8 + HOUR_MS)];
  const logged = office.write('pair-logged');
  const yes = office.write('owner-answered');
  const stop = office.write('owner-answered', { answer: 'stop' });
  const stopToo = shop.write('owner-answered', { answer: 'stop' });
  expect(apart(stateAfter(logged, yes, stop, stopToo))).toEqual([]);
});

test('an answer that was taken back contradicts nothing', () => {
  const office = handAt(DESK, RUTH, MONDAY_8 - HOUR_MS);
  const logged = office.write('pair-logged', { yes: 'to-ask' });
  const stop = office.write('owner-answered', { answer: 'stop' });
  const undo = office.write('voided', { of: stop.id });
  const yes = handAt(asBenchId('desk-shop'), INES, MONDAY_8).write('owner-answered');
  expect(apart(stateAfter(logged, stop, yes))).toHaveLength(1);
  expect(apart(stateAfter(logged, stop, undo, yes))).toEqual([]);
});

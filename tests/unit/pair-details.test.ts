import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { DESK, handAt, INES, INT, LAY, MONDAY_8, RUTH, stateAfter, WELTING } from '../support/builders.ts';

const desk = () => handAt(DESK, RUTH, MONDAY_8 - HOUR_MS);
const flagsOf = ({ flags }: PairState) => flags.map(({ flag }) => flag);

describe('what the office logged', () => {
  test('is all that can be put right later, and nothing else of the record', () => {
    const logged = desk().write('pair-logged', { maker: 'in the waist', asked: 'a steel tip' });
    expect(stateAfter(logged).details).toEqual({
      job: 'FB',
      ownerRef: 'A-1042',
      style: 'brown derby',
      last: '82',
      size: '8',
      fitting: 'F',
      promised: '2026-12-10',
      maker: 'in the waist',
      asked: 'a steel tip',
    });
  });

  test('twice is what was logged first, and the flag stands at the second', () => {
    const office = desk();
    const [first, second] = [office.write('pair-logged'), office.write('pair-logged', { size: '11' })];
    const state = stateAfter(first, second);
    expect([state.logged, state.details?.size, state.latestDetails]).toEqual([first, '8', first.id]);
    expect(state.flags).toMatchObject([{ flag: 'logged-twice', record: second.id }]);
  });
});

describe('details put right', () => {
  test('before anybody logged the pair: kept, with no details yet, and not called apart', () => {
    const amended = desk().write('pair-amended');
    const state = stateAfter(amended);
    expect([state.details, state.amended, state.latestDetails]).toEqual([null, [amended], amended.id]);
    expect(flagsOf(state)).toEqual(['never-logged']);
  });

  test('with a field that is there and undefined leave that field as it was', () => {
    const office = desk();
    const logged = office.write('pair-logged');
    // As it comes from an object spread; a record that went over the wire has no such key.
    const changes: object = { size: undefined, style: 'tan brogue' };
    const amended = office.write('pair-amended', { after: logged.id, changes });
    expect(stateAfter(logged, amended).details).toMatchObject({ size: '8', style: 'tan brogue' });
  });
});

describe('the owner', () => {
  const office = desk();
  const logged = office.write('pair-logged', { yes: 'to-ask' });
  const goOn = office.write('owner-answered', { job: 'RS', promised: '2026-12-20' });
  const stop = office.write('owner-answered', { answer: 'stop', job: 'HL', promised: '2027-01-07' });
  const asked = handAt(WELTING, INES, MONDAY_8).write('owner-asked');

  test.each([
    ['to-ask', 'asked', true],
    ['given', 'given', true],
    ['not-wanted', 'not-asked', false],
  ] as const)('whose yes is %s at logging is %s from then on', (yes, is, since) => {
    const state = stateAfter({ ...logged, yes });
    expect(state.owner).toEqual({ is, since: since ? logged.at : null, why: null });
  });

  test('who answers is answered for from then on', () => {
    expect(stateAfter(logged, goOn).owner).toEqual({ is: 'given', since: goOn.at, why: null });
    expect(stateAfter(logged, stop).owner).toEqual({ is: 'stopped', since: stop.at, why: null });
  });

  test('who says stop agrees on no job and no promise', () => {
    expect(stateAfter(logged, goOn, stop).details).toMatchObject({ job: 'RS', promised: '2026-12-20' });
  });

  test('who said stop is not asked again by what a bench finds', () => {
    expect(stateAfter(logged, stop, asked).owner).toMatchObject({ is: 'stopped', since: stop.at });
  });

  test('who answers about a pair that nobody logged has answered all the same', () => {
    const state = stateAfter(goOn);
    expect([state.owner.is, state.details]).toEqual(['given', null]);
  });
});

describe('a word that lets the pair past the owner’s yes', () => {
  const bench = handAt(WELTING);
  const past = bench.write('let-through', { past: 'owners-yes' });
  const notDue = bench.write('let-through', { past: 'not-due' });
  const asked = bench.write('owner-asked');

  test('does not speak for what the owner is asked after it, and no other word is touched', () => {
    expect(stateAfter(past, notDue).letThroughUsed).toEqual([]);
    expect(stateAfter(past, notDue, asked).letThroughUsed).toEqual([past.id]);
  });

  test('is used up once, however often the owner is asked', () => {
    const again = bench.write('owner-asked');
    expect(stateAfter(past, asked, again).letThroughUsed).toEqual([past.id]);
  });

  test('is used up by the question also where the owner’s stop stands', () => {
    const stop = handAt(DESK, RUTH, MONDAY_8 - HOUR_MS).write('owner-answered', { answer: 'stop' });
    const state = stateAfter(stop, past, asked);
    expect([state.owner.is, state.letThroughUsed]).toEqual(['stopped', [past.id]]);
  });
});

test('a stage that is asked for is needed, and what else is not needed still is not', () => {
  const office = desk();
  const dropped = [INT, LAY].map((stage) => office.write('not-needed', { stage }));
  const asked = office.write('stage-asked', { stages: [LAY] });
  expect(stateAfter(...dropped, asked).notNeeded.map(({ stage }) => stage)).toEqual([INT]);
});

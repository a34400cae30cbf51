import { describe, expect, test } from 'vitest';
import { stops } from '../../src/domain/fold/notes.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asBenchId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  handAt,
  INES,
  INT,
  LAY,
  MONDAY_8,
  RUTH,
  stateAfter,
  WELTING,
  WLT,
} from '../support/builders.ts';

const desk = () => handAt(DESK, RUTH, MONDAY_8 - HOUR_MS);
const flagsOf = ({ flags }: PairState) => flags.map(({ flag, record }) => [flag, record]);

describe('what the office holds of a pair', () => {
  test('is what was logged, with what was put right since', () => {
    const office = desk();
    const logged = office.write('pair-logged');
    const size = office.write('pair-amended', { after: logged.id, changes: { size: '9' } });
    const job = office.write('pair-amended', { after: size.id, changes: { job: 'RS' } });
    const state = stateAfter(logged, size, job);
    expect(state.details).toMatchObject({ size: '9', job: 'RS', style: 'brown derby' });
    expect([state.logged, state.amended, state.flags]).toEqual([logged, [size, job], []]);
  });

  test('put right at two desks apart from each other: both are kept, the later holds, and it is flagged', () => {
    const office = desk();
    const logged = office.write('pair-logged');
    const here = office.write('pair-amended', {
      after: logged.id,
      changes: { size: '9', style: 'tan brogue' },
    });
    const there = handAt(asBenchId('desk-shop'), INES, MONDAY_8);
    const apart = there.write('pair-amended', { after: logged.id, changes: { size: '8½' } });
    const state = stateAfter(logged, here, apart);
    expect(state.details).toMatchObject({ size: '8½', style: 'tan brogue' });
    expect([state.amended.length, flagsOf(state)]).toEqual([2, [['amended-apart', apart.id]]]);
  });
});

describe('the owner’s yes', () => {
  const office = desk();
  const toAsk = office.write('pair-logged', { yes: 'to-ask' });
  const goOn = office.write('owner-answered', { answer: 'go-on-cheaper', job: 'RS', promised: '2026-12-20' });
  const stop = office.write('owner-answered', { answer: 'stop', words: 'send it back' });
  const asked = handAt(WELTING, INES, MONDAY_8 + HOUR_MS).write('owner-asked', {
    why: 'the insole is split',
  });

  test.each([
    ['is to be asked for from logging on', [toAsk], 'asked', null],
    ['came with the pair', [{ ...toAsk, yes: 'given' as const }], 'given', null],
    ['is not wanted', [{ ...toAsk, yes: 'not-wanted' as const }], 'not-asked', null],
    ['is given by an answer', [toAsk, goOn], 'given', null],
    ['is wanted again, with the reason', [toAsk, goOn, asked], 'asked', 'the insole is split'],
    ['is a stop, with the owner’s words', [toAsk, stop], 'stopped', 'send it back'],
  ] as const)('%s', (_, records, is, why) => {
    expect(stateAfter(...records).owner).toMatchObject({ is, why });
  });

  test('asked for at a bench before the office logged the pair is asked for still', () => {
    const early = handAt(WELTING, INES, MONDAY_8 - 3 * HOUR_MS).write('owner-asked', {
      why: 'sole worn through',
    });
    const logged = { ...toAsk, yes: 'given' as const };
    expect(stateAfter(early, logged).owner).toMatchObject({ is: 'asked', why: 'sole worn through' });
  });

  test('brings the job and the promise that were agreed on', () => {
    expect(stateAfter(toAsk, goOn).details).toMatchObject({ job: 'RS', promised: '2026-12-20' });
  });
});

describe('which stages a pair needs', () => {
  const office = desk();
  const dropped = office.write('not-needed', { stage: INT });
  const asked = office.write('stage-asked', { stages: [INT, LAY] });

  test.each([
    ['is what was asked for', [asked], [INT, LAY], []],
    ['is not what was said not to be needed', [dropped], [], [INT]],
    ['is what was asked for later', [dropped, { ...asked, at: MONDAY_8 }], [INT, LAY], []],
    [
      'is not what was said later not to be needed',
      [asked, { ...dropped, seq: 9, at: MONDAY_8 }],
      [LAY],
      [INT],
    ],
  ])('%s', (_, records, needed, not) => {
    const state = stateAfter(...records);
    expect([state.asked, state.notNeeded.map(({ stage }) => stage)]).toEqual([needed, not]);
  });

  test('is where it was sent back to, and what of it was done, whatever was said before', () => {
    const bench = handAt(WELTING, INES, MONDAY_8);
    const late = bench.write('done-unscanned', { stage: LAY });
    const again = [LAY, WLT].map((stage) => ({ stage, shoe: 'both' as const }));
    const back = bench.write('sent-back', { to: INT, again });
    const state = stateAfter(dropped, late, back);
    expect([state.asked, state.notNeeded]).toEqual([[INT, LAY], []]);
  });
});

describe('a stop note', () => {
  const finder = handAt(WELTING, INES);
  const note = finder.write('noted', { weight: 'stop' });
  const released = desk().write('note-released', { note: note.id, at: MONDAY_8 + HOUR_MS });

  test('stops until it is cured or a named person has released it, and is still to be seen then', () => {
    const [held] = stateAfter(note).notes;
    const [free] = stateAfter(note, released).notes;
    if (held === undefined || free === undefined) throw new Error('no note');
    expect([stops(held), stops(free)]).toEqual([true, false]);
    expect(free).toMatchObject({ released: { by: RUTH, why: 'the owner takes the risk' }, cured: null });
  });
});

test('pictures and second tickets are counted, racks and lasts are where they were last', () => {
  const bench = handAt(WELTING);
  const picture = bench.write('pictured');
  const [one, other] = ['R07HT295', 'R0000001'];
  const state = (...told: readonly LedgerRecord[]) => stateAfter(picture, ...told);
  const racked = bench.write('racked', { rack: one });
  const taken = bench.write('last-taken');
  expect(state(bench.write('ticket-reprinted'), racked, taken)).toMatchObject({
    pictures: [picture],
    reprints: 1,
    rack: one,
    last: '82 8 F',
  });
  expect(state(racked, bench.write('unracked', { rack: other })).rack).toBe(one);
  expect(state(racked, bench.write('unracked', { rack: one })).rack).toBeNull();
  expect(state(racked, bench.write('racked', { rack: other })).rack).toBe(other);
  expect(state(taken, bench.write('last-freed')).last).toBeNull();
});

/** A supervisor gives a spell its true times: what the fold makes of it, and of what was scanned besides. */
import { describe, expect, test } from 'vitest';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import {
  DESK,
  DSP,
  handAt,
  INES,
  MONDAY_8,
  RUTH,
  spellOf,
  stateAfter,
  TOMASZ,
  WELTING,
} from '../support/builders.ts';

const at = (minutes: number) => MONDAY_8 + minutes * MINUTE_MS;
const bench = handAt(WELTING);
const desk = handAt(DESK, RUTH);
const logged = desk.write('pair-logged', { at: at(-60) });
const clockIn = bench.write('clocked-in', { at: at(0) });
const given = (told: object, minute = 600) =>
  desk.write('time-given', { of: clockIn.id, at: at(minute), ...told });
const flagsOf = (state: ReturnType<typeof stateAfter>) =>
  state.flags.map(({ flag, record }) => [flag, record]);

describe('a missed clock-out', () => {
  test('is ended at the time given, by that record, with its outcome', () => {
    const word = given({ to: at(90), outcome: 'done' });
    const state = stateAfter(logged, clockIn, word);
    expect(spellOf(state, clockIn)).toMatchObject({
      from: at(0),
      to: at(90),
      timed: true,
      outcome: 'done',
      endedBy: word.id,
      amendedBy: [word.id],
      by: INES,
    });
    expect(state.flags).toEqual([]);
    expect(state.closedAt).toBe(null);
  });

  test('with no outcome said was not finished: nobody has said that it was', () => {
    const state = stateAfter(logged, clockIn, given({ to: at(90) }));
    expect(spellOf(state, clockIn).outcome).toBe('not-finished');
  });

  test('with an outcome and no time has ended at a time that nobody knows', () => {
    const word = given({ outcome: 'done' });
    expect(spellOf(stateAfter(logged, clockIn, word), clockIn)).toMatchObject({
      to: word.at,
      timed: false,
      outcome: 'done',
    });
  });

  test('given a beginning alone goes on', () => {
    const state = stateAfter(logged, clockIn, given({ from: at(-5) }));
    expect(spellOf(state, clockIn)).toMatchObject({ from: at(-5), to: null, timed: true, outcome: 'open' });
    expect(openSpells(state)).toHaveLength(1);
  });

  test('of the closing stage lets the pair out of the works at the time given', () => {
    const last = bench.write('clocked-in', { at: at(10), stage: DSP });
    const racked = bench.write('racked', { at: at(20) });
    const word = desk.write('time-given', {
      of: last.id,
      at: at(600),
      to: at(30),
      outcome: 'done',
      closes: true,
    });
    const state = stateAfter(logged, last, racked, word);
    expect([state.closedAt, state.rack]).toEqual([at(30), null]);
    const put = desk.write('time-given', { of: last.id, at: at(700), to: at(40), closes: true });
    expect(stateAfter(logged, last, racked, word, put).closedAt).toBe(at(40));
    const unfinished = desk.write('time-given', {
      of: last.id,
      at: at(600),
      to: at(30),
      outcome: 'not-finished',
      closes: true,
    });
    expect(stateAfter(logged, last, racked, unfinished).closedAt).toBe(null);
  });
});

describe('a clock-out that was off line meanwhile', () => {
  const word = given({ to: at(90), outcome: 'done' });

  test.each([
    ['made before the word was given', 120],
    ['made after it', 700],
  ])('%s: it is flagged, and the supervisor’s time stands until somebody has looked', (_, minute) => {
    const out = bench.write('clocked-out', { of: clockIn.id, at: at(minute), outcome: 'done' });
    const state = stateAfter(logged, clockIn, word, out);
    expect(spellOf(state, clockIn)).toMatchObject({ to: at(90), timed: true, outcome: 'done' });
    expect(flagsOf(state)).toEqual([['out-twice', out.id]]);
    // Taken back, it leaves the scan as it was.
    const back = desk.write('voided', { of: word.id, at: at(800) });
    const again = stateAfter(logged, clockIn, word, out, back);
    expect(spellOf(again, clockIn)).toMatchObject({ to: at(minute), endedBy: out.id, amendedBy: [] });
    expect(again.flags).toEqual([]);
  });

  test('an end that is put right on purpose is no second end', () => {
    const out = bench.write('clocked-out', { of: clockIn.id, at: at(300), outcome: 'done', timed: false });
    const state = stateAfter(logged, clockIn, out, given({ to: at(80) }));
    expect(spellOf(state, clockIn)).toMatchObject({ to: at(80), timed: true, endedBy: out.id });
    expect(state.flags).toEqual([]);
  });
});

describe('times that cross', () => {
  test.each([
    ['an end before the beginning', { to: at(-30), outcome: 'done' }, { from: at(0), to: at(0) }],
    [
      'both, the wrong way about',
      { from: at(50), to: at(20), outcome: 'done' },
      { from: at(50), to: at(50) },
    ],
  ])('%s makes no negative spell, claims no length, and is flagged', (_, told, times) => {
    const word = given(told);
    const state = stateAfter(logged, clockIn, word);
    expect(spellOf(state, clockIn)).toMatchObject({ ...times, timed: false, outcome: 'done' });
    expect(flagsOf(state)).toEqual([['time-backwards', word.id]]);
  });

  test('a beginning after the end that was scanned gives way to it', () => {
    const out = bench.write('clocked-out', { of: clockIn.id, at: at(30) });
    const word = given({ from: at(40) });
    const state = stateAfter(logged, clockIn, out, word);
    expect(spellOf(state, clockIn)).toMatchObject({ from: at(30), to: at(30), timed: false });
    expect(flagsOf(state)).toEqual([['time-backwards', word.id]]);
    const right = given({ from: at(5), to: at(25) }, 601);
    expect(spellOf(stateAfter(logged, clockIn, out, word, right), clockIn)).toMatchObject({
      from: at(5),
      to: at(25),
      timed: true,
      amendedBy: [word.id, right.id],
    });
  });
});

test('work that nobody scanned is known only when both its times are given', () => {
  const late = desk.write('done-unscanned', { at: at(300) });
  const word = (told: object, minute: number) =>
    desk.write('time-given', { of: late.id, at: at(minute), ...told });
  expect(spellOf(stateAfter(logged, late, word({ to: at(200) }, 310)), late).timed).toBe(false);
  const both = word({ from: at(100), to: at(200) }, 320);
  expect(spellOf(stateAfter(logged, late, both), late)).toMatchObject({
    from: at(100),
    to: at(200),
    timed: true,
    outcome: 'done',
    endedBy: late.id,
  });
});

test('a time for work that is not there is kept and flagged', () => {
  const word = desk.write('time-given', { at: at(10), to: at(5) });
  expect(flagsOf(stateAfter(logged, word))).toEqual([['time-without-spell', word.id]]);
});

test('a second hand is at the work from when it was said', () => {
  const joined = bench.write('hand-joined', { of: clockIn.id, at: at(12), hand: TOMASZ });
  expect(spellOf(stateAfter(logged, clockIn, joined), clockIn).joined).toEqual([
    { hand: TOMASZ, as: 'beside', at: at(12) },
  ]);
});

test('neither word is a meeting with the pair: it was met where it was worked', () => {
  const word = given({ to: at(90), outcome: 'done' });
  const looked = desk.write('looked-into', { at: at(700), of: clockIn.id, what: 'left-open' });
  const state = stateAfter(logged, clockIn, word, looked);
  expect(state.met?.id).toBe(clockIn.id);
  expect(state.latest?.id).toBe(looked.id);
  expect(state.lookedInto).toEqual([looked]);
});

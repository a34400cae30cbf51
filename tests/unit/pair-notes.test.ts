import { describe, expect, test } from 'vitest';
import { curableAt, notesFor, stops } from '../../src/domain/fold/notes.ts';
import type { NoteState } from '../../src/domain/fold/pair-state.ts';
import { DESK, handAt, INES, INT, LAY, RUTH, stateAfter, WELTING, WLT } from '../support/builders.ts';

const textsOf = (notes: readonly NoteState[]) => notes.map(({ note }) => note.text);

describe('of two notes on a pair', () => {
  const bench = handAt(WELTING);
  const [one, other] = [bench.write('noted', { text: 'one' }), bench.write('noted', { text: 'other' })];

  test('only the one that was seen is seen, with who, where and when', () => {
    const seen = bench.write('note-seen', { note: one.id });
    expect(stateAfter(one, other, seen).notes.map((held) => held.seen)).toEqual([
      [{ by: INES, stage: WLT, at: seen.at }],
      [],
    ]);
  });

  test('only the one that was cured is cured, with where and when', () => {
    const cured = bench.write('note-cured', { note: other.id, stage: LAY });
    expect(stateAfter(one, other, cured).notes.map((held) => held.cured)).toEqual([
      null,
      { stage: LAY, at: cured.at },
    ]);
  });

  test('only the one that was released is released, by whom, when and why', () => {
    const released = handAt(DESK, RUTH).write('note-released', {
      note: one.id,
      at: other.at,
      why: 'looked at',
    });
    expect(stateAfter(one, other, released).notes.map((held) => held.released)).toEqual([
      { by: RUTH, at: other.at, why: 'looked at' },
      null,
    ]);
  });
});

test('a word about a note that is not there is flagged, though there are others', () => {
  const bench = handAt(WELTING);
  const [note, lost] = [bench.write('noted'), bench.write('note-cured')];
  const state = stateAfter(note, lost);
  expect(state.flags).toContainEqual(expect.objectContaining({ flag: 'note-unknown', record: lost.id }));
  expect(state.notes.map(({ cured }) => cured)).toEqual([null]);
});

describe('a note that a stage can cure', () => {
  const bench = handAt(WELTING);
  const curable = bench.write('noted', { text: 'curable', seeAt: [INT], cureAt: [LAY] });
  const stop = bench.write('noted', { text: 'stop', weight: 'stop', seeAt: [INT], cureAt: [LAY] });
  const all = [curable, stop];
  const released = handAt(DESK, RUTH).write('note-released', { note: stop.id, at: stop.at });

  test('is to be seen there, though it is meant for another', () => {
    expect(textsOf(notesFor(stateAfter(curable), LAY))).toEqual(['curable']);
    expect(textsOf(notesFor(stateAfter(curable), WLT))).toEqual([]);
  });

  test('can be cured at that stage alone', () => {
    const at = (stage: typeof LAY) => textsOf(curableAt(stateAfter(curable), stage));
    expect([at(LAY), at(INT), at(WLT)]).toEqual([['curable'], [], []]);
  });

  test('and stops the pair can be cured only once it is released', () => {
    expect(textsOf(curableAt(stateAfter(...all), LAY))).toEqual(['curable']);
    expect(textsOf(curableAt(stateAfter(...all, released), LAY))).toEqual(['curable', 'stop']);
  });

  test('cannot be cured twice', () => {
    const cured = bench.write('note-cured', { note: curable.id, stage: LAY });
    expect(curableAt(stateAfter(curable, cured), LAY)).toEqual([]);
  });
});

test.each([
  ['stop', true],
  ['ask', false],
  ['mend', false],
  ['mind', false],
] as const)('a note of weight %s stops the pair: %s', (weight, stopped) => {
  expect(stateAfter(handAt(WELTING).write('noted', { weight })).notes.map(stops)).toEqual([stopped]);
});

test('a stop note that was cured stops no more', () => {
  const bench = handAt(WELTING);
  const stop = bench.write('noted', { weight: 'stop' });
  expect(stateAfter(stop, bench.write('note-cured', { note: stop.id })).notes.map(stops)).toEqual([false]);
});

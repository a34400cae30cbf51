/** The end of a spell, and the stage that a pair is taken to be here for, at their edges. */
import { describe, expect, test } from 'vitest';
import { asStageCode } from '../../src/domain/ids.ts';
import { endIntent, stageHere } from '../../src/domain/intent.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  fullBook,
  handAt,
  INES,
  INT,
  LAY,
  siteBook,
  spellOf,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';

const BOOK = fullBook();

describe('a spell', () => {
  const bench = handAt(WELTING);
  const clockIn = bench.write('clocked-in');
  const note = bench.write('noted');
  const endOf = (shiftFrom: number | null, on = INES, ...more: readonly LedgerRecord[]) => {
    const state = stateAfter(clockIn, ...more);
    const shift = shiftFrom === null ? {} : { shiftFrom };
    return endIntent(state, spellOf(state, clockIn), on, { book: BOOK, ...shift });
  };

  test('from before this shift has an end that nobody knows; from its first instant on it has not', () => {
    expect(endOf(clockIn.at + 1).do).toBe('end-unknown');
    expect(endOf(clockIn.at).do).toBe('clock-out');
  });

  test('between shifts ends by the scan', () => {
    expect(endOf(null).do).toBe('clock-out');
  });

  test('from before this shift has its notes seen first', () => {
    expect(endOf(clockIn.at + 1, INES, note).do).toBe('notes-came-in');
  });

  test('whose notes this hand has seen ends, though another has not seen them', () => {
    const seen = bench.write('note-seen', { note: note.id });
    expect(endOf(null, INES, note, seen).do).toBe('clock-out');
    expect(endOf(null, TOMASZ, note, seen).do).toBe('notes-came-in');
  });

  test('stopped by a note for another stage is stopped, with nothing to be seen here', () => {
    const stop = bench.write('noted', { weight: 'stop', seeAt: [LAY] });
    expect(endOf(null, INES, stop)).toMatchObject({ do: 'notes-came-in', stopped: true, unseen: [] });
  });

  test('where the site’s book has not come ends by the scan', () => {
    const state = stateAfter(clockIn);
    expect(endIntent(state, spellOf(state, clockIn), INES, { book: null }).do).toBe('clock-out');
  });
});

describe('the stage that a pair is here for', () => {
  const bench = handAt(WELTING);
  const logged = bench.write('pair-logged', { yes: 'given' });
  const done = (...stages: readonly (typeof WLT)[]) =>
    stateAfter(logged, ...stages.map((stage) => bench.write('done-unscanned', { stage })));
  const stages = [WLT, INT];

  test('is the first of the bench where the pair is not known', () => {
    expect(stageHere(null, 'both', { stages, book: BOOK })).toBe(WLT);
  });

  test('is none at a bench without stages', () => {
    for (const pair of [null, done()]) {
      expect(stageHere(pair, 'both', { stages: [], book: BOOK })).toBeUndefined();
      expect(stageHere(pair, 'both', { stages: [], book: null })).toBeUndefined();
    }
  });

  test.each([
    ['where the book has not come', null],
    ['where the site has no routes', siteBook()],
  ])('%s is the first not done, and once all are done the last', (_, book) => {
    const here = { stages, book };
    expect(stageHere(done(), 'both', here)).toBe(WLT);
    expect(stageHere(done(WLT), 'both', here)).toBe(INT);
    expect(stageHere(done(WLT, INT), 'both', here)).toBe(INT);
  });

  test('is of the shoe that is asked about', () => {
    const left = bench.write('done-unscanned', { shoe: 'left' });
    const state = stateAfter(logged, left);
    const here = { stages, book: null };
    expect([stageHere(state, 'left', here), stageHere(state, 'right', here)]).toEqual([INT, WLT]);
  });

  test('is the last done of the bench where all is done on its way', () => {
    expect(stageHere(done(WLT, INT), 'both', { stages, book: BOOK })).toBe(INT);
  });

  test('is the first of the bench where none of them is on the way', () => {
    const strange = ['XA', 'XB'].map((code) => asStageCode(code));
    expect(stageHere(done(), 'both', { stages: strange, book: BOOK })).toBe(strange[0]);
  });
});

import { describe, expect, test } from 'vitest';
import { EMPTY_BENCH, foldBench, stepBench } from '../../src/domain/fold/bench.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { handAt, INES, INT, NOBODYS_ID, PAIR, TOMASZ, WELTING, WLT } from '../support/builders.ts';

describe('the state of a bench', () => {
  test('is nothing at first', () => {
    expect(foldBench([])).toEqual(EMPTY_BENCH);
  });

  test('knows its stages, who is on, and when that hand last did something', () => {
    const hand = handAt(WELTING);
    const set = hand.write('bench-set', { stages: [WLT, INT] });
    const on = hand.write('badged-on');
    expect(foldBench([set, on])).toMatchObject({ stages: [WLT, INT], on: INES, lastAt: on.at });
    const off = hand.write('badged-off');
    expect(foldBench([set, on, off])).toMatchObject({ stages: [WLT, INT], on: null, lastAt: off.at });
  });

  test('holds what is open, and as done what is finished, by whoever began it', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const open = { spell: clockIn.id, pair: PAIR, stage: WLT, by: INES, from: clockIn.at };
    expect(foldBench([clockIn])).toMatchObject({ open: [open], done: [] });
    const clockOut = hand.write('clocked-out', { of: clockIn.id, by: TOMASZ });
    const done = { record: clockOut.id, pair: PAIR, stage: WLT, by: INES, at: clockOut.at };
    expect(foldBench([clockIn, clockOut])).toMatchObject({ open: [], done: [done] });
    const unfinished = { ...clockOut, outcome: 'not-finished' as const };
    expect(foldBench([clockIn, unfinished])).toMatchObject({ open: [], done: [] });
  });

  test('counts as its own what it ended that it began too long ago to remember', () => {
    const clockOut = handAt(WELTING).write('clocked-out', { of: NOBODYS_ID });
    expect(foldBench([clockOut]).done).toMatchObject([{ record: clockOut.id, by: INES }]);
  });

  test('does not count as its own what was done at another bench and only told here', () => {
    const told = handAt(WELTING).write('clocked-out', { of: NOBODYS_ID, timed: false });
    expect(foldBench([told])).toMatchObject({ open: [], done: [], lastAt: told.at });
    const late = handAt(WELTING).write('done-unscanned');
    expect(foldBench([late]).done).toEqual([]);
  });

  test('forgets what was undone', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id });
    const undo = hand.write('voided', { of: clockOut.id });
    expect(foldBench([clockIn, clockOut, undo])).toMatchObject({ open: [{ spell: clockIn.id }], done: [] });
    const both = hand.write('voided', { of: clockIn.id });
    expect(foldBench([clockIn, clockOut, undo, both])).toMatchObject({ open: [], done: [] });
  });

  test('remembers whose reminders were shown, of which stage and in which wording', () => {
    const hand = handAt(WELTING);
    const [first, second] = [
      hand.write('reminders-shown', { wording: 3 }),
      hand.write('reminders-shown', { by: TOMASZ, stage: INT }),
    ];
    expect(foldBench([first, second]).reminded).toEqual([
      { by: INES, stage: WLT, wording: 3, at: first.at },
      { by: TOMASZ, stage: INT, wording: 0, at: second.at },
    ]);
  });

  test('is the same stepped as folded, where nothing is taken back', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const records: readonly LedgerRecord[] = [
      hand.write('bench-set'),
      hand.write('badged-on'),
      clockIn,
      hand.write('reminders-shown'),
      hand.write('noted'),
      hand.write('clocked-out', { of: clockIn.id }),
    ];
    expect(records.reduce(stepBench, EMPTY_BENCH)).toEqual(foldBench(records));
  });
});

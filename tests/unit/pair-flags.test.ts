import { describe, expect, test } from 'vitest';
import { SLACK_MS } from '../../src/domain/fold/order.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import {
  DESK,
  handAt,
  INES,
  LAYING,
  MONDAY_8,
  RUTH,
  spellOf,
  stateAfter,
  WELTING,
} from '../support/builders.ts';

const flagsOf = ({ flags }: PairState) => flags.map(({ flag, record }) => `${flag} ${record}`);

describe('flags', () => {
  const logged = handAt(DESK, RUTH).write('pair-logged', { at: MONDAY_8 - 1 });

  test('of one kind stand at every record that has it', () => {
    const bench = handAt(WELTING);
    const [one, other] = [bench.write('clocked-out'), bench.write('clocked-out')];
    expect(flagsOf(stateAfter(logged, one, other))).toEqual([
      `out-without-in ${one.id}`,
      `out-without-in ${other.id}`,
    ]);
  });

  test('of two kinds stand at one record that has both', () => {
    const there = handAt(LAYING).write('clocked-in');
    const bench = handAt(WELTING);
    const begun = bench.write('clocked-in', { at: MONDAY_8 - 1 });
    const ended = bench.write('clocked-out', { of: begun.id, closes: true, at: MONDAY_8 + 1 });
    const again = bench.write('clocked-in', { at: MONDAY_8 + 2 });
    expect(flagsOf(stateAfter(logged, begun, there, ended, again))).toEqual([
      `open-at-two-benches ${there.id}`,
      `open-at-two-benches ${again.id}`,
      `work-after-closing ${again.id}`,
    ]);
  });

  test('of one kind stand once at one record, however it came by them', () => {
    const bench = handAt(WELTING);
    const begun = bench.write('clocked-in');
    const ended = bench.write('clocked-out', { of: begun.id, at: begun.at - SLACK_MS - 1 });
    expect(flagsOf(stateAfter(logged, begun, ended))).toEqual([`clock-doubtful ${ended.id}`]);
  });
});

describe('a clock-out', () => {
  const bench = handAt(WELTING, INES);
  const begun = bench.write('clocked-in');

  test('before its clock-in by less than two clocks may differ is doubtful all the same, and has no length', () => {
    const ended = bench.write('clocked-out', { of: begun.id, at: begun.at - 1 });
    const state = stateAfter(begun, ended);
    expect(flagsOf(state)).toContain(`clock-doubtful ${ended.id}`);
    expect(spellOf(state, begun)).toMatchObject({ from: begun.at, to: begun.at });
  });

  test('at the very instant of its clock-in is not doubtful', () => {
    const ended = bench.write('clocked-out', { of: begun.id, at: begun.at });
    expect(flagsOf(stateAfter(begun, ended)).join(' ')).not.toContain('clock-doubtful');
  });
});

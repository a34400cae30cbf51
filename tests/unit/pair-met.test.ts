import { describe, expect, test } from 'vitest';
import type { RecordKind } from '../../src/domain/record/kinds.ts';
import { KNOWN_KINDS } from '../../src/domain/record/reading.ts';
import { handAt, LAYING, RACK, stateAfter, WELTING } from '../support/builders.ts';

/** Written at a desk or to a note, with nobody holding the shoes: where the pair was last met stays what it was. */
const NOT_IN_HAND: ReadonlySet<string> = new Set<RecordKind>([
  'pair-amended',
  'owner-asked',
  'owner-answered',
  'ticket-reprinted',
  'let-through',
  'not-needed',
  'stage-asked',
  'note-released',
  'time-given',
  'looked-into',
]);
/** About a bench and no pair, or the taking back of another record. */
const OF_NO_PAIR: ReadonlySet<string> = new Set<RecordKind>([
  'voided',
  'bench-set',
  'badged-on',
  'badged-off',
  'reminders-shown',
  'machine-stopped',
  'machine-back',
]);

const ofPairs = ([...KNOWN_KINDS] as readonly RecordKind[]).filter((kind) => !OF_NO_PAIR.has(kind));

describe('where a pair was last met', () => {
  test.each(ofPairs.filter((kind) => NOT_IN_HAND.has(kind)))('is not told by a %s', (kind) => {
    const found = handAt(WELTING).write('found-here');
    const later = handAt(LAYING).write(kind, { at: found.at + 1 });
    const state = stateAfter(found, later);
    expect([state.met?.id, state.latest?.id]).toEqual([found.id, later.id]);
  });

  test.each(ofPairs.filter((kind) => !NOT_IN_HAND.has(kind)))('is told by a %s', (kind) => {
    const found = handAt(WELTING).write('found-here');
    const later = handAt(LAYING).write(kind, { at: found.at + 1 });
    expect(stateAfter(found, later).met?.id).toBe(later.id);
  });
});

test('a pair that is found somewhere is off its rack', () => {
  const bench = handAt(WELTING);
  const racked = bench.write('racked');
  expect(stateAfter(racked).rack).toBe(RACK);
  expect(stateAfter(racked, bench.write('found-here')).rack).toBeNull();
});

import { describe, expect, test } from 'vitest';
import { clockedOut, correctedInstant, draft, type Making, type Said } from '../../src/domain/drafts.ts';
import type { Draft, RecordKind } from '../../src/domain/record/kinds.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import {
  DSP,
  handAt,
  INES,
  idOf,
  LAY,
  MONDAY_8,
  NOBODYS_ID,
  PAIR,
  SITE,
  spellOf,
  stateAfter,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { ADDED_SINCE, RECORD_SAMPLES } from './record-samples.ts';

/** The samples before this one lack fields that came later. */
const NOT_WHOLE = 13;

function making(wall: Partial<Making['wall']> = {}): Making {
  let made = 0;
  return {
    site: SITE,
    bench: WELTING,
    by: INES,
    wall: { ms: MONDAY_8, offsetMs: 1500, known: true, ...wall },
    newId: () => idOf(WELTING, ++made),
  };
}

const clockIn = handAt(WELTING).write('clocked-in');
const spell = spellOf(stateAfter(clockIn), clockIn);
const sewnOut = (outcome: 'done' | 'not-finished', closingStage = DSP) =>
  clockedOut(making(), PAIR, spell, outcome, closingStage);

/** What each act says beyond who, where and when. */
const ACTS: readonly (readonly [Draft, object])[] = [
  [draft(making(), 'badged-on', {}), { kind: 'badged-on' }],
  [draft(making(), 'badged-off', { why: 'quiet' }), { kind: 'badged-off', why: 'quiet' }],
  [
    draft(making(), 'clocked-in', { pair: PAIR, stage: WLT, shoe: 'left', unknownPair: true }),
    { kind: 'clocked-in', pair: PAIR, stage: WLT, shoe: 'left', unknownPair: true },
  ],
  [
    sewnOut('done'),
    {
      kind: 'clocked-out',
      pair: PAIR,
      stage: WLT,
      of: clockIn.id,
      outcome: 'done',
      closes: false,
      timed: true,
    },
  ],
  [
    draft(making(), 'sent-back', {
      pair: PAIR,
      from: LAY,
      to: WLT,
      shoe: 'left',
      reason: 'seam open',
      again: [{ stage: LAY, shoe: 'both' }],
      fault: null,
    }),
    {
      kind: 'sent-back',
      pair: PAIR,
      from: LAY,
      to: WLT,
      shoe: 'left',
      reason: 'seam open',
      again: [{ stage: LAY, shoe: 'both' }],
      fault: null,
    },
  ],
  [
    draft(making(), 'voided', { pair: null, of: NOBODYS_ID, why: 'wrong bench' }),
    { kind: 'voided', pair: null, of: NOBODYS_ID, why: 'wrong bench' },
  ],
];

describe('a draft', () => {
  test.each(ACTS.map(([made, says]) => [made.kind, made, says] as const))(
    'of %s says what was done, by whom, where and when, and becomes a record with its sequence and cursor',
    (_, made, says) => {
      const who = { id: idOf(WELTING, 1), site: SITE, bench: WELTING, by: INES, v: 1 };
      const when = { at: MONDAY_8 + 1500, wall: { ms: MONDAY_8, offsetMs: 1500, known: true } };
      expect(made).toEqual({ ...who, ...when, ...says });
      expect(readRecord({ ...made, seq: 1, seen: '' })).toMatchObject({ is: 'record' });
    },
  );

  test.each(
    RECORD_SAMPLES.map((sample, index) => ({ ...sample, ...ADDED_SINCE[index] }))
      .slice(NOT_WHOLE)
      .map((sample) => [sample.kind, sample] as const),
  )('of %s has every field of its kind and no other', (kind, sample) => {
    const { id, site, bench, seq, at, wall, seen, by, v, kind: _, ...said } = sample;
    const made = draft(making(), kind as RecordKind, said as Said<RecordKind>);
    expect(readRecord({ ...made, seq: 1, seen: '' })).toEqual({
      is: 'record',
      record: { ...made, seq: 1, seen: '' },
    });
    expect(Object.keys(made).toSorted()).toEqual(
      Object.keys(sample)
        .filter((key) => key !== 'seq' && key !== 'seen')
        .toSorted(),
    );
  });

  test('asks for one new id each', () => {
    const here = making();
    expect([draft(here, 'badged-on', {}).id, draft(here, 'taken-up', { pair: PAIR }).id]).toEqual([
      idOf(WELTING, 1),
      idOf(WELTING, 2),
    ]);
  });
});

describe('a clock-out closes the pair', () => {
  test.each([
    ['when the last stage is done', 'done', WLT, true],
    ['not when the last stage is left unfinished', 'not-finished', WLT, false],
    ['not when another stage is done', 'done', DSP, false],
  ] as const)('%s', (_, outcome, closingStage, closes) => {
    expect(sewnOut(outcome, closingStage).closes).toBe(closes);
  });

  test('whether or not anybody scanned when the work ended', () => {
    const late = clockedOut(making(), PAIR, spell, 'done', WLT, false);
    expect(late).toMatchObject({ closes: true, timed: false });
  });
});

describe('the corrected instant', () => {
  test.each([
    ['is the clock and its offset', MONDAY_8, -2_000, MONDAY_8 - 2_000],
    ['is a whole millisecond', MONDAY_8 + 0.4, 0.3, MONDAY_8 + 1],
    ['is never before 1970', 1_000, -5_000, 0],
    ['is never beyond what an id can hold', 2 ** 48, 1, 2 ** 48 - 1],
  ])('%s', (_, ms, offsetMs, at) => {
    expect(correctedInstant({ ms, offsetMs, known: true })).toBe(at);
  });

  test('of a tablet whose clock is long before 1970 still makes a record that is read', () => {
    const made = draft(making({ ms: -62_135_596_800_000, offsetMs: 0, known: false }), 'badged-on', {});
    expect(readRecord({ ...made, seq: 1, seen: '' })).toMatchObject({ is: 'record', record: { at: 0 } });
  });
});

import { describe, expect, test } from 'vitest';
import * as make from '../../src/domain/drafts.ts';
import type { Draft } from '../../src/domain/record/kinds.ts';
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

function making(wall: Partial<make.Making['wall']> = {}): make.Making {
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
  make.clockedOut(making(), PAIR, spell, outcome, closingStage);

/** What each act says beyond who, where and when. */
const ACTS: readonly (readonly [Draft, object])[] = [
  [make.benchSet(making(), [WLT, LAY]), { kind: 'bench-set', stages: [WLT, LAY] }],
  [make.badgedOn(making()), { kind: 'badged-on' }],
  [make.badgedOff(making(), 'quiet'), { kind: 'badged-off', why: 'quiet' }],
  [
    make.clockedIn(making(), PAIR, WLT, true),
    { kind: 'clocked-in', pair: PAIR, stage: WLT, unknownPair: true },
  ],
  [
    sewnOut('done'),
    { kind: 'clocked-out', pair: PAIR, stage: WLT, of: clockIn.id, outcome: 'done', closes: false },
  ],
  [
    make.setAside(making(), PAIR, WLT, 'waiting for thread'),
    { kind: 'set-aside', pair: PAIR, stage: WLT, reason: 'waiting for thread' },
  ],
  [make.takenUp(making(), PAIR), { kind: 'taken-up', pair: PAIR }],
  [
    make.sentBack(making(), PAIR, LAY, WLT, 'left', 'seam open'),
    { kind: 'sent-back', pair: PAIR, from: LAY, to: WLT, shoe: 'left', reason: 'seam open' },
  ],
  [
    make.noteSeen(making(), PAIR, NOBODYS_ID, WLT),
    { kind: 'note-seen', pair: PAIR, note: NOBODYS_ID, stage: WLT },
  ],
  [
    make.voided(making(), null, NOBODYS_ID, 'wrong bench'),
    { kind: 'voided', pair: null, of: NOBODYS_ID, why: 'wrong bench' },
  ],
];

describe('a draft', () => {
  test.each(ACTS.map(([draft, says]) => [draft.kind, draft, says] as const))(
    'of %s says what was done, by whom, where and when, and becomes a record with its sequence and cursor',
    (_, draft, says) => {
      const who = { id: idOf(WELTING, 1), site: SITE, bench: WELTING, by: INES, v: 1 };
      const when = { at: MONDAY_8 + 1500, wall: { ms: MONDAY_8, offsetMs: 1500, known: true } };
      expect(draft).toEqual({ ...who, ...when, ...says });
      expect(readRecord({ ...draft, seq: 1, seen: '' })).toMatchObject({ is: 'record' });
    },
  );

  test('asks for one new id each', () => {
    const here = making();
    expect([make.badgedOn(here).id, make.takenUp(here, PAIR).id]).toEqual([
      idOf(WELTING, 1),
      idOf(WELTING, 2),
    ]);
  });

  test('does not keep hold of the caller’s list of stages', () => {
    const stages = [WLT];
    const draft = make.benchSet(making(), stages);
    stages.push(LAY);
    expect(draft.stages).toEqual([WLT]);
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
});

describe('the corrected instant', () => {
  test.each([
    ['is the clock and its offset', MONDAY_8, -2_000, MONDAY_8 - 2_000],
    ['is a whole millisecond', MONDAY_8 + 0.4, 0.3, MONDAY_8 + 1],
    ['is never before 1970', 1_000, -5_000, 0],
    ['is never beyond what an id can hold', 2 ** 48, 1, 2 ** 48 - 1],
  ])('%s', (_, ms, offsetMs, at) => {
    expect(make.correctedInstant({ ms, offsetMs, known: true })).toBe(at);
  });

  test('of a tablet whose clock is long before 1970 still makes a record that is read', () => {
    const draft = make.badgedOn(making({ ms: -62_135_596_800_000, offsetMs: 0, known: false }));
    expect(readRecord({ ...draft, seq: 1, seen: '' })).toMatchObject({ is: 'record', record: { at: 0 } });
  });
});

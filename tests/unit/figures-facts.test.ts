import { describe, expect, test } from 'vitest';
import type { PairFacts } from '../../src/domain/figures/facts.ts';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  handAt,
  INES,
  MONDAY_8,
  PAIR,
  placed,
  RUTH,
  siteBook,
  TOMASZ,
  WELTING,
} from '../support/builders.ts';
import { CLN, DSP, figureBook, HBL, INT, LAY, OWN, WLT } from '../support/figure-histories.ts';

const clock = (text: string) => {
  const [hours = 0, minutes = 0] = text.split(':').map(Number);
  return MONDAY_8 + (hours - 8) * HOUR_MS + minutes * MINUTE_MS;
};
const told = (at: number) => new Date(at).toISOString().slice(11, 16);

/** A pair logged at eight by the office, and a bench that writes at the times it is told. */
function pairAt(yes: 'not-wanted' | 'to-ask' = 'not-wanted') {
  const records: LedgerRecord[] = [handAt(DESK, RUTH, clock('8:00')).write('pair-logged', { yes })];
  const bench = handAt(WELTING, INES);
  const write: typeof bench.write = (kind, more) => {
    const record = bench.write(kind, more);
    records.push(record);
    return record;
  };
  const facts = (): PairFacts => {
    const found = factsOf(PAIR, placed(records), figureBook);
    if (found === null) throw new Error('the pair has no facts');
    return found;
  };
  const done = (stage: typeof WLT, from: string, to: string, shoe: 'both' | 'left' | 'right' = 'both') => {
    const begun = write('clocked-in', { stage, shoe, at: clock(from) });
    write('clocked-out', { stage, of: begun.id, at: clock(to), closes: stage === DSP });
    return begun;
  };
  return { write, facts, done, records };
}

const waitsOf = ({ waits }: PairFacts) =>
  waits.map(({ stage, shoe, from, to, served }) =>
    [stage, shoe, told(from), to === null ? 'still' : told(to), served ? 'served' : 'not'].join(' '),
  );
const holdsOf = ({ holds }: PairFacts) =>
  holds.map(({ why, from, to }) => [why, told(from), to === null ? 'still' : told(to)].join(' '));

describe('a pair waits', () => {
  test('at every stage that is due, until it is clocked in there; beside each other at several', () => {
    const pair = pairAt();
    pair.done(CLN, '9:00', '9:20');
    pair.done(WLT, '10:00', '10:30');
    expect(waitsOf(pair.facts())).toEqual([
      'CLN both 08:00 09:00 served',
      'WLT both 09:20 10:00 served',
      'HBL both 09:20 still not',
      'LAY both 10:30 still not',
    ]);
  });

  test('with one shoe where only that one is due, and the other one goes on waiting', () => {
    const pair = pairAt();
    pair.done(CLN, '9:00', '9:20', 'left');
    pair.done(CLN, '10:00', '10:20', 'right');
    expect(waitsOf(pair.facts())).toEqual([
      'CLN left 08:00 09:00 served',
      'CLN right 08:00 10:00 served',
      'WLT left 09:20 still not',
      'HBL left 09:20 still not',
      'WLT right 10:20 still not',
      'HBL right 10:20 still not',
    ]);
  });

  test('again once work stopped unfinished, or was sent back', () => {
    const pair = pairAt();
    const begun = pair.write('clocked-in', { stage: CLN, at: clock('9:00') });
    pair.write('clocked-out', { stage: CLN, of: begun.id, outcome: 'not-finished', at: clock('9:10') });
    pair.done(CLN, '9:30', '9:40');
    pair.write('sent-back', { from: WLT, to: CLN, shoe: 'left', at: clock('9:50') });
    expect(waitsOf(pair.facts()).filter((wait) => wait.startsWith('CLN'))).toEqual([
      'CLN both 08:00 09:00 served',
      'CLN both 09:10 09:30 served',
      'CLN left 09:50 still not',
    ]);
  });

  test('at no stage while it is set aside or stopped by a note, but is held', () => {
    const pair = pairAt();
    pair.write('set-aside', { stage: CLN, at: clock('9:00') });
    pair.write('taken-up', { at: clock('9:30') });
    const note = pair.write('noted', { weight: 'stop', at: clock('10:00') });
    pair.write('note-released', { note: note.id, at: clock('10:45') });
    expect(waitsOf(pair.facts())).toEqual([
      'CLN both 08:00 09:00 not',
      'CLN both 09:30 10:00 not',
      'CLN both 10:45 still not',
    ]);
    expect(holdsOf(pair.facts())).toEqual(['set-aside 09:00 09:30', 'stop-note 10:00 10:45']);
  });

  test('for the owner as a hold and never at a stage; what does not stand on the answer waits on', () => {
    const pair = pairAt('to-ask');
    pair.done(CLN, '8:10', '8:20');
    pair.write('owner-answered', { at: clock('12:00') });
    expect(holdsOf(pair.facts())).toEqual(['owner 08:00 12:00']);
    const waits = waitsOf(pair.facts());
    expect(waits).toContain('HBL both 08:20 still not');
    expect(waits).toContain('WLT both 12:00 still not');
    expect(waits.some((wait) => wait.startsWith(OWN))).toBe(false);
  });

  test('at no stage after the owner’s stop', () => {
    const pair = pairAt('to-ask');
    pair.write('owner-answered', { answer: 'stop', at: clock('9:00') });
    expect(waitsOf(pair.facts())).toEqual(['CLN both 08:00 09:00 not']);
    expect(holdsOf(pair.facts())).toEqual(['owner 08:00 still']);
  });

  test('for its other shoe as a hold, while each shoe waits where it is due', () => {
    const pair = pairAt();
    pair.write('parted', { shoe: 'left', at: clock('9:00') });
    pair.done(CLN, '9:10', '9:20', 'left');
    pair.write('rejoined', { at: clock('11:00') });
    expect(holdsOf(pair.facts())).toEqual(['parted 09:00 11:00']);
    expect(waitsOf(pair.facts())).toContain('CLN right 08:00 still not');
  });

  test('at a stage that somebody asks for, and no longer where it is not needed', () => {
    const pair = pairAt();
    pair.done(CLN, '8:10', '8:20');
    pair.done(WLT, '8:30', '9:00');
    pair.write('stage-asked', { stages: [INT], at: clock('9:30') });
    pair.write('not-needed', { stage: INT, at: clock('10:00') });
    const waits = waitsOf(pair.facts());
    expect(waits).toContain('LAY both 09:00 09:30 not');
    expect(waits).toContain('INT both 09:30 10:00 not');
    expect(waits).toContain('LAY both 10:00 still not');
  });

  test('by the last word about it in the order of the records, though a clock stepped back in between', () => {
    const pair = pairAt();
    pair.done(CLN, '8:10', '8:20');
    pair.done(WLT, '8:30', '9:00');
    pair.write('stage-asked', { stages: [INT], at: clock('10:00') });
    pair.write('not-needed', { stage: INT, at: clock('9:30') });
    expect(waitsOf(pair.facts()).slice(-2)).toEqual(['LAY both 09:00 10:00 not', 'LAY both 10:00 still not']);
  });

  test('nowhere where it was never logged: nobody knows its way', () => {
    const bench = handAt(WELTING);
    const begun = bench.write('clocked-in', { stage: CLN });
    const records = [begun, bench.write('clocked-out', { stage: CLN, of: begun.id })];
    expect(factsOf(PAIR, placed(records), figureBook)?.waits).toEqual([]);
    const routeless = handAt(WELTING).write('pair-logged');
    expect(factsOf(PAIR, placed([routeless]), siteBook())?.waits).toEqual([]);
  });
});

describe('times put right', () => {
  test('move the waits on both sides of the work', () => {
    const pair = pairAt();
    const begun = pair.write('clocked-in', { stage: CLN, at: clock('9:00') });
    pair.write('clocked-out', { stage: CLN, of: begun.id, timed: false, at: clock('17:00') });
    const given = pair.write('time-given', {
      of: begun.id,
      from: clock('8:40'),
      to: clock('9:15'),
      at: clock('17:05'),
    });
    const [spell] = pair.facts().spells;
    expect(spell).toMatchObject({
      from: clock('8:40'),
      to: clock('9:15'),
      timed: true,
      amendedBy: [given.id],
    });
    expect(waitsOf(pair.facts()).slice(0, 2)).toEqual([
      'CLN both 08:00 08:40 served',
      'WLT both 09:15 still not',
    ]);
  });

  test('move the leaving', () => {
    const pair = pairAt();
    const begun = pair.write('clocked-in', { stage: DSP, at: clock('9:00') });
    pair.write('clocked-out', { stage: DSP, of: begun.id, closes: true, timed: false, at: clock('17:00') });
    pair.write('time-given', { of: begun.id, to: clock('9:15'), at: clock('17:05') });
    expect(pair.facts().closed?.at).toBe(clock('9:15'));
  });
});

describe('the stays of a pair', () => {
  test('end when it leaves and begin anew when it is sent back after that', () => {
    const pair = pairAt();
    pair.done(DSP, '9:00', '9:10');
    pair.write('sent-back', { from: DSP, to: LAY, shoe: 'both', at: clock('14:00') });
    const facts = pair.facts();
    expect(facts.stays.map(({ from, to }) => [told(from.at), to === null ? null : told(to.at)])).toEqual([
      ['08:00', '09:10'],
      ['14:00', null],
    ]);
    expect(facts.closed).toBeNull();
    expect(facts.spells[0]?.undone).toEqual({ left: null, right: null });
    expect(waitsOf(facts)).toContain('CLN both 08:00 09:10 not');
    expect(waitsOf(facts)).toContain('CLN both 14:00 still not');
  });

  test('tell when it was handed back unfinished', () => {
    const pair = pairAt();
    const back = pair.write('handed-back', { at: clock('9:00') });
    const facts = pair.facts();
    expect(facts.closed).toEqual({ at: clock('9:00'), record: back.id });
    expect(facts.handedBack).toBe(true);
    expect(facts.stays[0]?.unfinished).toBe(true);
  });

  test('do not begin with what was taken back; where nothing stands there are no facts', () => {
    const bench = handAt(WELTING);
    const found = bench.write('found-here');
    const gone = bench.write('voided', { of: found.id });
    expect(factsOf(PAIR, placed([found, gone]), figureBook)).toBeNull();
    const again = bench.write('found-here');
    expect(factsOf(PAIR, placed([found, gone, again]), figureBook)?.first.record).toBe(again.id);
  });
});

describe('the hands of a spell', () => {
  test('are whoever clocked in, from its beginning, and who joined beside, from then; answering is no work', () => {
    const pair = pairAt();
    const begun = pair.write('clocked-in', { stage: CLN, at: clock('9:00') });
    pair.write('hand-joined', { of: begun.id, hand: TOMASZ, as: 'beside', at: clock('9:10') });
    pair.write('hand-joined', { of: begun.id, hand: RUTH, as: 'answers', at: clock('9:11') });
    pair.write('hand-joined', { of: begun.id, hand: TOMASZ, as: 'beside', at: clock('9:12') });
    const [spell] = pair.facts().spells;
    expect(spell?.hands).toEqual([
      { hand: INES, from: clock('9:00') },
      { hand: TOMASZ, from: clock('9:10') },
    ]);
    expect(spell?.answers).toEqual([RUTH]);
  });

  test('are nobody where nobody scanned', () => {
    const pair = pairAt();
    pair.write('done-unscanned', { stage: HBL, at: clock('9:00') });
    expect(pair.facts().spells[0]).toMatchObject({ hands: [], timed: false, outcome: 'done' });
  });
});

test('facts are plain data: read again from JSON they are the same', () => {
  const pair = pairAt('to-ask');
  pair.done(CLN, '9:00', '9:20');
  pair.write('sent-back', { from: WLT, to: CLN, shoe: 'left', fault: 'welt-open', at: clock('9:50') });
  expect(JSON.parse(JSON.stringify(pair.facts()))).toEqual(pair.facts());
});

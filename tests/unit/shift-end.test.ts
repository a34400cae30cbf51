/** What a supervisor looks at when the shift ends: each kind with what puts a pair on its list, and what takes it off. */
import { describe, expect, test } from 'vitest';
import { SET_ASIDE } from '../../src/domain/catalogue/set-aside.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asPairId, asStageCode, type PairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { shiftEnd } from '../../src/domain/shift-end.ts';
import type { ShiftEndKind } from '../../src/domain/shift-end-items.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import {
  CHK,
  fullBook,
  handAt,
  INES,
  LAY,
  LAYING,
  MONDAY_8,
  PAIR,
  placed,
  RUTH,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

const LAS = asStageCode('LAS');
const LEV = asStageCode('LEV');
const SLP = asStageCode('SLP');
const OTHER = asPairId('P030000Y');
const early = (days: number) =>
  oneShift('Early', MONDAY_8 + days * DAY_MS, MONDAY_8 + days * DAY_MS + 8 * HOUR_MS);
/** Monday to Thursday, and the Monday after: no shift on Friday. */
const SHIFTS = [early(0), early(1), early(2), early(3), early(7)];
const BOOK = fullBook({ shifts: SHIFTS });
const END = MONDAY_8 + 8 * HOUR_MS - 5 * MINUTE_MS;

interface Told {
  readonly book?: SiteBook;
  readonly shift?: number;
  readonly now?: number;
}

function ending(states: readonly PairState[], { book = BOOK, shift = 0, now = END }: Told = {}) {
  const of = SHIFTS[shift];
  if (of === undefined) throw new Error('no such shift');
  return shiftEnd(states, { book, outOfUse: [], shift: of, now });
}

function kindsOf(states: readonly PairState[], told: Told = {}): readonly ShiftEndKind[] {
  const found = ending(states, told);
  return (Object.keys(found) as ShiftEndKind[]).filter((kind) => found[kind].length > 0);
}

const stateOf = (pair: PairId, ...records: readonly LedgerRecord[]) => foldPair(pair, placed(records));
const routed = { route: 1, yes: 'given' } as const;

/** A full rebuild whose stages before `last` are done, the last of them ending `ago` before the shift's end. */
function doneUpTo(codes: string, pair = PAIR): LedgerRecord[] {
  const hand = handAt(WELTING);
  const logged = handAt(LAYING).write('pair-logged', { pair, ...routed, at: MONDAY_8 });
  return [
    logged,
    ...codes.split(' ').map((code) => hand.write('done-unscanned', { pair, stage: asStageCode(code) })),
  ];
}

describe('what stops being true when everybody has gone', () => {
  test('a pair that is clocked in, until it is clocked out', () => {
    const hand = handAt(WELTING);
    const began = hand.write('clocked-in');
    const ended = hand.write('clocked-out', { of: began.id });
    expect(ending([stateAfter(began)])['clocked-in']).toMatchObject([
      { pair: PAIR, since: began.at, stage: WLT, bench: WELTING, by: INES, record: began.id },
    ]);
    expect(kindsOf([stateAfter(began, ended)])).toEqual([]);
  });

  test('a stop or a setting aside by nobody stands apart from one with a name', () => {
    const nobody = handAt(WELTING, null);
    const named = handAt(LAYING, TOMASZ);
    const stop = nobody.write('noted', { weight: 'stop', text: 'the rib is through' });
    const began = named.write('clocked-in', { pair: OTHER });
    const aside = named.write('set-aside', { pair: OTHER, reason: SET_ASIDE.office });
    const found = ending([stateAfter(stop), stateOf(OTHER, began, aside)]);
    expect(found['without-a-name']).toMatchObject([{ pair: PAIR, by: null, why: 'the rib is through' }]);
    expect(found.stopped).toMatchObject([{ pair: OTHER, by: TOMASZ, why: SET_ASIDE.office, stage: WLT }]);
  });

  test('a stop that was released, and a mere mend, hold nothing up', () => {
    const hand = handAt(WELTING);
    const stop = hand.write('noted', { weight: 'stop' });
    const released = hand.write('note-released', { note: stop.id });
    const mend = hand.write('noted', { weight: 'mend' });
    expect(kindsOf([stateAfter(stop, released, mend)])).toEqual([]);
  });

  test('shoes apart, until they are together again', () => {
    const hand = handAt(WELTING);
    const apart = hand.write('parted', { why: 'the left goes back' });
    expect(ending([stateAfter(hand.write('found-here'), apart)]).parted).toMatchObject([
      { pair: PAIR, why: 'the left goes back', record: apart.id },
    ]);
    expect(kindsOf([stateAfter(apart, hand.write('rejoined'))])).toEqual([]);
  });

  test('machines that may not be run', () => {
    const out = { bench: WELTING, stage: WLT, why: 'guard loose', since: MONDAY_8, by: RUTH };
    const [shift] = SHIFTS;
    if (shift === undefined) throw new Error('no shift');
    const found = shiftEnd([], { book: BOOK, outOfUse: [out], shift, now: END });
    expect(found['out-of-use']).toMatchObject([{ pair: null, ...out }]);
  });
});

describe('what a pair waits for', () => {
  test('set aside for its last or for a part it stands under that, and is nobody’s stop', () => {
    const hand = handAt(WELTING);
    const last = stateAfter(hand.write('set-aside', { reason: SET_ASIDE.last }));
    const part = stateOf(OTHER, hand.write('set-aside', { pair: OTHER, reason: SET_ASIDE.part }));
    const logged = (state: PairState): PairState => ({
      ...state,
      logged: handAt(LAYING).write('pair-logged'),
    });
    expect(kindsOf([logged(last)])).toEqual(['for-last']);
    expect(kindsOf([logged(part)])).toEqual(['for-part']);
  });

  test('for its last, while another pair has the same pair of lasts in it', () => {
    const waiting = doneUpTo('TRI CLN PUL RIB CLO MEA FND');
    const holder = (freed: boolean) => {
      const hand = handAt(LAYING, TOMASZ);
      const taken = [
        hand.write('pair-logged', { pair: OTHER, ...routed }),
        hand.write('last-taken', { pair: OTHER }),
        ...(freed ? [hand.write('last-freed', { pair: OTHER })] : []),
      ];
      return stateOf(OTHER, ...taken);
    };
    const due = ending([stateAfter(...waiting), holder(false)])['for-last'];
    expect(due).toMatchObject([{ pair: PAIR, stage: LAS }]);
    expect(ending([stateAfter(...waiting), holder(true)])['for-last']).toEqual([]);
  });

  test('for a closer, once closing repairs are asked for and nothing must come before them', () => {
    const hand = handAt(LAYING);
    const records = doneUpTo('TRI CLN PUL RIB');
    const asked = hand.write('stage-asked', { stages: [asStageCode('CLO')], at: MONDAY_8 + HOUR_MS, seq: 9 });
    expect(ending([stateAfter(...records, asked)])['for-closer']).toMatchObject([{ pair: PAIR }]);
    expect(ending([stateAfter(...records)])['for-closer']).toEqual([]);
  });

  test('for the owner, from the asking to the answer', () => {
    const desk = handAt(LAYING, RUTH);
    const logged = desk.write('pair-logged');
    const asked = desk.write('owner-asked');
    expect(ending([stateAfter(logged, asked)])['for-owner']).toMatchObject([
      { pair: PAIR, since: asked.at, why: 'the insole is broken through' },
    ]);
    expect(kindsOf([stateAfter(logged, asked, desk.write('owner-answered'))])).toEqual([]);
  });
});

describe('what dries or sets', () => {
  /** The catalogue: after levelling, 720 minutes at least before the last is slipped. */
  const levelled = (minutesBeforeEnd: number) => {
    const hand = handAt(LAYING, TOMASZ, END - (minutesBeforeEnd + 1) * MINUTE_MS);
    const began = hand.write('clocked-in', { stage: LEV, seq: 40 });
    const ended = hand.write('clocked-out', { stage: LEV, of: began.id });
    return [
      ...doneUpTo('TRI CLN PUL RIB FND LAS WLT INT BEA SEA SHK CRK PRP LAY RND STI SNA HBL'),
      began,
      ended,
    ];
  };

  test('and is ready when the next shift begins can go on first thing', () => {
    const found = ending([stateAfter(...levelled(10))])['first-thing'];
    expect(found).toMatchObject([{ pair: PAIR, stage: SLP, until: END + 710 * MINUTE_MS }]);
  });

  test('what is ready already waits for its turn, as any other', () => {
    expect(ending([stateAfter(...levelled(721))])['first-thing']).toEqual([]);
  });

  test('what dries beyond the next beginning, or has no next shift, is not for first thing', () => {
    const slow = fullBook({
      shifts: SHIFTS,
      stages: BOOK.stages.map((stage) =>
        stage.code === LEV ? { ...stage, settles: { least: 2880, most: 2880 } } : stage,
      ),
    });
    expect(ending([stateAfter(...levelled(10))], { book: slow })['first-thing']).toEqual([]);
    const none = fullBook({ shifts: SHIFTS.slice(0, 1) });
    expect(ending([stateAfter(...levelled(10))], { book: none })['first-thing']).toEqual([]);
  });

  test('what is set aside is taken up by nobody first thing', () => {
    const aside = handAt(LAYING, TOMASZ, END - MINUTE_MS).write('set-aside', {
      reason: SET_ASIDE.wet,
      seq: 60,
    });
    expect(ending([stateAfter(...levelled(10), aside)])['first-thing']).toEqual([]);
  });
});

describe('tickets not seen', () => {
  const metOn = (days: number) =>
    stateAfter(
      handAt(WELTING, INES, MONDAY_8 + days * DAY_MS).write('found-here'),
      handAt(LAYING).write('pair-logged'),
    );
  const unseen = (state: PairState, shift: number) =>
    ending([state], { shift, now: (SHIFTS[shift]?.to ?? 0) - MINUTE_MS })['not-seen'].length;

  test('on two days of work are on the list, at the end of the second', () => {
    expect([0, 1, 2, 3].map((shift) => unseen(metOn(0), shift))).toEqual([0, 0, 1, 1]);
  });

  test('days without a shift do not count: seen on Thursday, Monday is the first day', () => {
    expect(unseen(metOn(3), 4)).toBe(0);
    expect(unseen(metOn(2), 4)).toBe(1);
  });

  test('what the office writes at its desk is no seeing, and a pair that has left is not missed', () => {
    const seen = handAt(WELTING).write('found-here');
    const wrote = handAt(LAYING, RUTH, MONDAY_8 + 2 * DAY_MS).write('pair-amended');
    const logged = handAt(LAYING, RUTH, MONDAY_8).write('pair-logged', { seq: 5 });
    expect(unseen(stateAfter(logged, seen, wrote), 2)).toBe(1);
    expect(unseen(stateAfter(logged, seen, handAt(WELTING).write('handed-back', { seq: 8 })), 2)).toBe(0);
  });
});

describe('sent back in this shift', () => {
  test('each with its fault, whether or not the pair has left since; not those of another shift', () => {
    const yesterday = handAt(LAYING, TOMASZ, MONDAY_8 - HOUR_MS).write('sent-back');
    const today = handAt(WELTING, TOMASZ, MONDAY_8 + HOUR_MS).write('sent-back', { fault: 'w-welt-missed' });
    const gone = handAt(WELTING, TOMASZ, MONDAY_8 + 2 * HOUR_MS).write('handed-back', { seq: 4 });
    const found = ending([stateAfter(yesterday, today, gone)])['sent-back'];
    expect(found).toMatchObject([
      { pair: PAIR, fault: 'w-welt-missed', stage: WLT, by: TOMASZ, record: today.id },
    ]);
  });
});

describe('an apprentice’s work', () => {
  const work = (told: {
    readonly past?: boolean;
    readonly answers?: boolean;
    readonly hand?: typeof INES;
  }) => {
    const hand = handAt(WELTING, INES);
    const logged = handAt(LAYING).write('pair-logged');
    const word = hand.write('let-through', { past: 'not-released', hand: told.hand ?? INES });
    const began = hand.write('clocked-in');
    const joined = hand.write('hand-joined', { of: began.id, hand: TOMASZ, as: 'answers' });
    const ended = hand.write('clocked-out', { of: began.id });
    const records = [logged, ...(told.past ? [word] : []), began, ...(told.answers ? [joined] : []), ended];
    return { records, began, ended, hand };
  };
  const learners = (...records: readonly LedgerRecord[]) => ending([stateAfter(...records)]).learners;

  test('stays to be looked at when it was let through, or a skilled hand answers for it', () => {
    expect(learners(...work({}).records)).toEqual([]);
    for (const told of [{ past: true }, { answers: true }]) {
      const { records, began } = work(told);
      expect(learners(...records)).toMatchObject([{ pair: PAIR, stage: WLT, by: INES, record: began.id }]);
    }
  });

  test('a word for another hand is none for this one', () => {
    expect(learners(...work({ past: true, hand: TOMASZ }).records)).toEqual([]);
  });

  test('until the final check, or a supervisor’s word on that very work', () => {
    const { records, began, hand } = work({ answers: true });
    const checked = hand.write('checked', { stage: CHK });
    expect(learners(...records, checked)).toEqual([]);
    const looked = hand.write('looked-into', { of: began.id, what: 'learners-work' });
    expect(learners(...records, looked)).toEqual([]);
    const elsewhere = hand.write('looked-into', { what: 'learners-work' });
    const another = hand.write('looked-into', { of: began.id, what: 'no-hand' });
    expect(learners(...records, elsewhere, another)).toHaveLength(1);
  });

  test('a check before it was no look at it', () => {
    const early = handAt(LAYING, TOMASZ, MONDAY_8 - HOUR_MS).write('checked', { stage: CHK, seq: 3 });
    expect(learners(early, ...work({ answers: true }).records)).toHaveLength(1);
  });
});

test('the oldest stands first in each kind', () => {
  const late = stateOf(
    OTHER,
    handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS).write('clocked-in', { pair: OTHER, stage: LAY }),
  );
  const soon = stateAfter(handAt(WELTING).write('clocked-in'));
  expect(ending([late, soon])['clocked-in'].map(({ pair }) => pair)).toEqual([PAIR, OTHER]);
});

import { describe, expect, test } from 'vitest';
import { hasSeen, notesFor } from '../../src/domain/fold/notes.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { emptyPair, type PairState } from '../../src/domain/fold/pair-state.ts';
import { isDone, openSpells } from '../../src/domain/fold/spells.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  handAt,
  INES,
  INT,
  LAY,
  LAYING,
  MONDAY_8,
  NOBODYS_ID,
  PAIR,
  placed,
  RUTH,
  seenUpTo,
  spellOf,
  stateAfter,
  TOMASZ,
  unplaced,
  WELTING,
  WLT,
} from '../support/builders.ts';

const office = () => handAt(DESK, RUTH, MONDAY_8 - HOUR_MS);
const flagsOf = ({ flags }: PairState) => flags.map(({ flag, record }) => [flag, record]);

describe('a pair that goes its way', () => {
  test('is nothing before anything was recorded', () => {
    expect(foldPair(PAIR, [])).toEqual(emptyPair(PAIR));
  });

  test('is what the office logged', () => {
    const logged = office().write('pair-logged');
    expect(stateAfter(logged)).toMatchObject({ logged, met: logged, latest: logged, flags: [] });
  });

  test('has an open spell from clock-in on', () => {
    const logged = office().write('pair-logged');
    const clockIn = handAt(WELTING).write('clocked-in');
    const state = stateAfter(logged, clockIn);
    expect(openSpells(state)).toEqual([
      {
        id: clockIn.id,
        stage: WLT,
        shoe: 'both',
        bench: WELTING,
        by: INES,
        from: MONDAY_8,
        to: null,
        timed: true,
        outcome: 'open',
        endedBy: null,
        undone: { left: null, right: null },
        joined: [],
        amendedBy: [],
      },
    ]);
    expect(isDone(state, WLT)).toBe(false);
    expect([state.met, state.latest]).toEqual([clockIn, clockIn]);
    expect(state.flags).toEqual([]);
  });

  test.each(['done', 'not-finished'] as const)('has a spell ended as %s from clock-out on', (outcome) => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id, outcome });
    const state = stateAfter(office().write('pair-logged'), clockIn, clockOut);
    expect(spellOf(state, clockIn)).toMatchObject({ outcome, to: clockOut.at, endedBy: clockOut.id });
    expect(openSpells(state)).toEqual([]);
    expect([isDone(state, WLT), isDone(state, INT)]).toEqual([outcome === 'done', false]);
    expect(state.flags).toEqual([]);
  });

  test('keeps two spells of two hands at one bench apart, each ended by its own clock-out', () => {
    const [ines, tomasz] = [handAt(WELTING, INES), handAt(WELTING, TOMASZ)];
    const hers = ines.write('clocked-in');
    const his = tomasz.write('clocked-in', { seq: 2, at: MONDAY_8 + MINUTE_MS });
    const herEnd = ines.write('clocked-out', { seq: 3, of: hers.id, at: MONDAY_8 + 5 * MINUTE_MS });
    const state = stateAfter(office().write('pair-logged'), hers, his, herEnd);
    expect(spellOf(state, hers).outcome).toBe('done');
    expect(openSpells(state).map(({ by }) => by)).toEqual([TOMASZ]);
    expect(state.flags).toEqual([]);
  });

  test('closes when its last stage is done, and not when that is left unfinished', () => {
    const hand = handAt(LAYING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id, closes: true });
    const logged = office().write('pair-logged');
    expect(stateAfter(logged, clockIn, clockOut).closedAt).toBe(clockOut.at);
    expect(stateAfter(logged, clockIn, { ...clockOut, outcome: 'not-finished' }).closedAt).toBeNull();
  });
});

describe('set aside', () => {
  const hand = handAt(WELTING);
  const aside = hand.write('set-aside');
  const up = hand.write('taken-up');
  const again = hand.write('set-aside', { reason: 'insole cracked' });

  test.each([
    ['holds with its reason', [aside], aside],
    ['ends when the pair is taken up', [aside, up], null],
    ['ends when work begins', [aside, handAt(LAYING).write('clocked-in', { at: again.at })], null],
    ['can come again, with the newer reason', [aside, up, again], again],
    ['needs no taking up in between', [aside, again], again],
  ])('%s', (_, records, setAside) => {
    expect(stateAfter(...records).setAside).toEqual(setAside);
  });

  test('that is undone was never said', () => {
    expect(stateAfter(aside, hand.write('voided', { of: aside.id })).setAside).toBeNull();
  });

  test('taken up by mistake and undone: it is set aside again', () => {
    expect(stateAfter(aside, up, hand.write('voided', { of: up.id })).setAside).toEqual(aside);
  });
});

describe('sent back', () => {
  const sewn = () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    return { hand, clockIn, clockOut: hand.write('clocked-out', { of: clockIn.id }) };
  };

  test('makes the stage undone, and no other', () => {
    const { hand, clockIn, clockOut } = sewn();
    const trimmed = hand.write('clocked-in', { stage: INT });
    const trimmedEnd = hand.write('clocked-out', { stage: INT, of: trimmed.id });
    const back = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS).write('sent-back', { to: WLT, shoe: 'both' });
    const state = stateAfter(clockIn, clockOut, trimmed, trimmedEnd, back);
    expect([isDone(state, WLT), isDone(state, INT)]).toEqual([false, true]);
    const undone = { left: back.id, right: back.id };
    expect(spellOf(state, clockIn)).toMatchObject({ outcome: 'done', undone });
    expect(state.sentBack).toEqual([back]);
  });

  test('and done again it is done', () => {
    const { hand, clockIn, clockOut } = sewn();
    const back = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS).write('sent-back', { to: WLT });
    const again = hand.write('clocked-in', { at: MONDAY_8 + 2 * HOUR_MS });
    const open = stateAfter(clockIn, clockOut, back, again);
    expect(isDone(open, WLT)).toBe(false);
    const state = stateAfter(clockIn, clockOut, back, again, hand.write('clocked-out', { of: again.id }));
    expect(isDone(state, WLT)).toBe(true);
    expect(spellOf(state, again).undone).toEqual({ left: null, right: null });
  });

  test('and undone again the stage is done as before', () => {
    const { clockIn, clockOut } = sewn();
    const finisher = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS);
    const back = finisher.write('sent-back', { to: WLT });
    const state = stateAfter(clockIn, clockOut, back, finisher.write('voided', { of: back.id }));
    expect([isDone(state, WLT), state.sentBack.length]).toEqual([true, 0]);
  });

  test('by a bench with a slow clock counts all the same: it had seen that the stage was done', () => {
    const { clockIn, clockOut } = sewn();
    const slow = handAt(LAYING, TOMASZ, MONDAY_8 - 3 * HOUR_MS);
    const back = slow.write('sent-back', { to: WLT, seen: seenUpTo(2) });
    const state = stateAfter(clockIn, clockOut, back);
    expect(isDone(state, WLT)).toBe(false);
    expect(flagsOf(state)).toContainEqual(['clock-doubtful', back.id]);
  });

  test('and done again at a bench with a slow clock, the stage is done', () => {
    const { clockIn, clockOut } = sewn();
    const back = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS).write('sent-back', { to: WLT });
    const slow = handAt(DESK, RUTH, MONDAY_8 - 3 * HOUR_MS);
    const again = slow.write('clocked-in', { seen: seenUpTo(3) });
    const state = stateAfter(clockIn, clockOut, back, again, slow.write('clocked-out', { of: again.id }));
    expect(isDone(state, WLT)).toBe(true);
  });

  test('while another spell at the stage is still open: that one can still finish it', () => {
    const { clockIn, clockOut } = sewn();
    const other = handAt(DESK, RUTH, MONDAY_8 + 30 * MINUTE_MS);
    const open = other.write('clocked-in');
    const back = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS).write('sent-back', { to: WLT });
    const end = other.write('clocked-out', { of: open.id, at: MONDAY_8 + 2 * HOUR_MS });
    expect(isDone(stateAfter(clockIn, clockOut, open, back), WLT)).toBe(false);
    expect(isDone(stateAfter(clockIn, clockOut, open, back, end), WLT)).toBe(true);
  });
});

describe('a note', () => {
  const finder = handAt(LAYING, TOMASZ);
  const note = finder.write('noted', { weight: 'ask', seeAt: [WLT] });
  const everywhere = finder.write('noted', { text: 'mind the toe cap', seeAt: [] });
  const sewer = handAt(WELTING, INES, MONDAY_8 + HOUR_MS);
  const seen = sewer.write('note-seen', { note: note.id });
  const cured = sewer.write('note-cured', { note: note.id });

  test('is for the stages that it names, or for all', () => {
    const state = stateAfter(note, everywhere);
    const textsAt = (stage: typeof WLT) => notesFor(state, stage).map((each) => each.note.id);
    expect(textsAt(WLT)).toEqual([note.id, everywhere.id]);
    expect(textsAt(LAY)).toEqual([everywhere.id]);
  });

  test('is seen by one hand at one stage', () => {
    const [first] = stateAfter(note, seen).notes;
    if (first === undefined) throw new Error('no note');
    expect(first.seen).toEqual([{ by: INES, stage: WLT, at: seen.at }]);
    expect([hasSeen(first, INES, WLT), hasSeen(first, INES, INT), hasSeen(first, TOMASZ, WLT)]).toEqual([
      true,
      false,
      false,
    ]);
  });

  test('that is cured has to be seen by nobody', () => {
    const state = stateAfter(note, seen, cured);
    expect(state.notes[0]?.cured).toEqual({ stage: WLT, at: cured.at });
    expect(notesFor(state, WLT)).toEqual([]);
  });

  test('whose cure is undone has to be seen again', () => {
    const state = stateAfter(note, seen, cured, sewer.write('voided', { of: cured.id }));
    expect(notesFor(state, WLT).map((each) => each.note.id)).toEqual([note.id]);
  });

  test('that is undone is gone, and who had seen it is flagged', () => {
    const state = stateAfter(note, seen, finder.write('voided', { of: note.id, at: MONDAY_8 + 2 * HOUR_MS }));
    expect(state.notes).toEqual([]);
    expect(flagsOf(state)).toContainEqual(['note-unknown', seen.id]);
  });
});

describe('undone', () => {
  test('a clock-in: there was no spell', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const undo = hand.write('voided', { of: clockIn.id });
    const state = stateAfter(office().write('pair-logged'), clockIn, undo);
    expect([state.spells, state.flags]).toEqual([[], []]);
  });

  test('a clock-out: the spell is open again, and a second clock-out ends it', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id, closes: true });
    const undo = hand.write('voided', { of: clockOut.id });
    const again = hand.write('clocked-out', { of: clockIn.id, outcome: 'not-finished' });
    const logged = office().write('pair-logged');
    const undone = stateAfter(logged, clockIn, clockOut, undo);
    expect([openSpells(undone).length, undone.closedAt, undone.flags]).toEqual([1, null, []]);
    const state = stateAfter(logged, clockIn, clockOut, undo, again);
    expect(spellOf(state, clockIn)).toMatchObject({ outcome: 'not-finished', endedBy: again.id });
    expect(state.flags).toEqual([]);
  });

  test('a clock-in that was already clocked out: the clock-out is flagged, not forgotten', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id });
    const state = stateAfter(
      office().write('pair-logged'),
      clockIn,
      clockOut,
      hand.write('voided', { of: clockIn.id }),
    );
    expect(state.spells).toEqual([]);
    expect(flagsOf(state)).toEqual([['out-without-in', clockOut.id]]);
  });

  test('the undoing of what nobody recorded is flagged', () => {
    const undo = handAt(WELTING).write('voided', { of: NOBODYS_ID });
    expect(flagsOf(stateAfter(office().write('pair-logged'), undo))).toEqual([['void-of-nothing', undo.id]]);
  });

  test('an undoing cannot be undone: it goes on holding, and the attempt is flagged', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const undo = hand.write('voided', { of: clockIn.id });
    const undoUndo = hand.write('voided', { of: undo.id });
    const state = stateAfter(office().write('pair-logged'), clockIn, undo, undoUndo);
    expect(state.spells).toEqual([]);
    expect(flagsOf(state)).toEqual([['void-of-nothing', undoUndo.id]]);
  });

  test('a logging: the pair is as if nobody had logged it, until it is logged anew', () => {
    const desk = office();
    const wrong = desk.write('pair-logged', { job: 'HL' });
    const undo = desk.write('voided', { of: wrong.id });
    expect(flagsOf(stateAfter(wrong, undo))).toEqual([['never-logged', wrong.id]]);
    const right = desk.write('pair-logged', { job: 'FB' });
    expect(stateAfter(wrong, undo, right)).toMatchObject({ logged: right, flags: [] });
  });
});

describe('contradictions are kept and flagged', () => {
  const logged = office().write('pair-logged');

  test('open at two benches: both spells stand, the later clock-in has the flag', () => {
    const first = handAt(WELTING).write('clocked-in');
    const second = handAt(LAYING, TOMASZ, MONDAY_8 + MINUTE_MS).write('clocked-in', { stage: LAY });
    const state = stateAfter(logged, first, second);
    expect(openSpells(state).map(({ bench }) => bench)).toEqual([WELTING, LAYING]);
    expect(flagsOf(state)).toEqual([['open-at-two-benches', second.id]]);
  });

  test('at a second bench after the first has finished is no contradiction', () => {
    const hand = handAt(WELTING);
    const first = hand.write('clocked-in');
    const end = hand.write('clocked-out', { of: first.id });
    const second = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS).write('clocked-in', { stage: LAY });
    expect(stateAfter(logged, first, end, second).flags).toEqual([]);
  });

  test('out without in', () => {
    const clockOut = handAt(WELTING).write('clocked-out', { of: NOBODYS_ID });
    const state = stateAfter(logged, clockOut);
    expect([state.spells, flagsOf(state)]).toEqual([[], [['out-without-in', clockOut.id]]]);
  });

  test('out twice: the first end holds', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in');
    const first = hand.write('clocked-out', { of: clockIn.id });
    const second = hand.write('clocked-out', { of: clockIn.id, outcome: 'not-finished' });
    const state = stateAfter(logged, clockIn, first, second);
    expect(spellOf(state, clockIn)).toMatchObject({ outcome: 'done', endedBy: first.id });
    expect(flagsOf(state)).toEqual([['out-twice', second.id]]);
  });

  test('logged twice: the first holds', () => {
    const again = handAt(DESK, RUTH, MONDAY_8).write('pair-logged', { seq: 2, job: 'HL' });
    const state = stateAfter(logged, again);
    expect([state.logged, flagsOf(state)]).toEqual([logged, [['logged-twice', again.id]]]);
  });

  test('never logged: the first record has the flag, and the logging that comes late takes it away', () => {
    const clockIn = handAt(WELTING).write('clocked-in', { unknownPair: true });
    expect(flagsOf(stateAfter(clockIn))).toEqual([['never-logged', clockIn.id]]);
    const late = handAt(DESK, RUTH, MONDAY_8 + HOUR_MS).write('pair-logged');
    expect(stateAfter(clockIn, late).flags).toEqual([]);
  });

  test('work after closing', () => {
    const hand = handAt(LAYING);
    const clockIn = hand.write('clocked-in');
    const clockOut = hand.write('clocked-out', { of: clockIn.id, closes: true });
    const after = handAt(WELTING, TOMASZ, MONDAY_8 + HOUR_MS).write('clocked-in');
    const state = stateAfter(logged, clockIn, clockOut, after);
    // It is worked, so it is here: the flag tells that it had left.
    expect(state.closedAt).toBeNull();
    expect(flagsOf(state)).toEqual([['work-after-closing', after.id]]);
  });

  test.each(['note-seen', 'note-cured'] as const)('%s of a note that is not there', (kind) => {
    const record = handAt(WELTING).write(kind, { note: NOBODYS_ID });
    expect(flagsOf(stateAfter(logged, record))).toEqual([['note-unknown', record.id]]);
  });

  test('a clock that went back within a spell: its length is nothing, never negative', () => {
    const hand = handAt(WELTING);
    const clockIn = hand.write('clocked-in', { at: MONDAY_8 + HOUR_MS });
    const clockOut = hand.write('clocked-out', { of: clockIn.id, at: MONDAY_8 });
    const state = stateAfter(logged, clockIn, clockOut);
    expect(spellOf(state, clockIn)).toMatchObject({ from: clockIn.at, to: clockIn.at, outcome: 'done' });
    expect(flagsOf(state)).toEqual([['clock-doubtful', clockOut.id]]);
  });

  test('a clock-out at another bench, whose clock is slow and which has seen nothing, still ends the spell', () => {
    const clockIn = handAt(WELTING).write('clocked-in');
    const clockOut = handAt(LAYING, TOMASZ, MONDAY_8 - HOUR_MS / 2).write('clocked-out', { of: clockIn.id });
    const state = foldPair(PAIR, unplaced([logged, clockOut, clockIn]));
    expect(spellOf(state, clockIn).endedBy).toBe(clockOut.id);
    expect(flagsOf(state)).toEqual([['clock-doubtful', clockOut.id]]);
  });
});

test('the latest record is the last that stands, and the pair was met where somebody last had it in hand', () => {
  const hand = handAt(WELTING);
  const clockIn = hand.write('clocked-in');
  const aside = hand.write('set-aside');
  const undo = hand.write('voided', { of: aside.id });
  const asked = handAt(DESK, RUTH, MONDAY_8 + HOUR_MS).write('owner-asked');
  const told = (...records: readonly LedgerRecord[]) => {
    const { latest, met } = foldPair(PAIR, placed(records));
    return [latest, met];
  };
  expect(told(clockIn, aside)).toEqual([aside, aside]);
  expect(told(clockIn, aside, undo)).toEqual([undo, clockIn]);
  expect(told(clockIn, asked)).toEqual([asked, clockIn]);
});

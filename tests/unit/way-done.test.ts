/** What counts as done on a pair's way, beside the spells at the benches: what the office does at its desk. */
import { describe, expect, test } from 'vitest';
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  besideEachOther,
  doneStages,
  dueOn,
  lastDone,
  leftOn,
  missingFor,
  settlingBefore,
  standsOnYes,
  type Way,
  wayOf,
} from '../../src/domain/way.ts';
import { DESK, fullBook, handAt, MONDAY_8, RUTH, stateAfter, TOMASZ, WELTING } from '../support/builders.ts';

const BOOK = fullBook();
const { ways } = BOOK;
const S = asStageCode;
const [WLT, INT, LAY] = [S('WLT'), S('INT'), S('LAY')];
const CONDITION = { sole: 'worn', welt: 'sound', heel: 'sound' } as const;

const desk = () => handAt(DESK, RUTH, MONDAY_8 - DAY_MS);
const logged = desk().write('pair-logged', { yes: 'given' });
const sorted = (stages: Iterable<StageCode>) => [...stages].toSorted().join(' ');

function wayAfter(...records: readonly LedgerRecord[]): Way {
  const way = wayOf(stateAfter(logged, ...records), BOOK);
  if (way === null) throw new Error('the pair has no way');
  return way;
}

describe('the desk has done', () => {
  const none = { ...logged, yes: 'not-wanted' as const };
  const doneAfter = (...records: readonly LedgerRecord[]) => sorted(doneStages(stateAfter(...records), ways));

  test('nothing for a pair that nobody logged', () => {
    expect(doneAfter(handAt(WELTING).write('found-here'))).toBe('');
  });

  test('the booking in by logging the pair, and the looking over where its condition was logged', () => {
    const condition = { left: CONDITION, right: CONDITION };
    expect(doneAfter(none)).toBe('REC');
    expect(doneAfter({ ...none, condition })).toBe('REC TRI');
  });

  test('nothing where the site names no such stages', () => {
    const condition = { left: CONDITION, right: CONDITION };
    const nowhere = { ...ways, receive: null, inspect: null, owner: null };
    expect(doneStages(stateAfter({ ...logged, condition }), nowhere)).toEqual(new Set());
  });

  const told = handAt(WELTING, TOMASZ).write('done-unscanned', { stage: S('OWN') });
  test.each([
    ['given', 'OWN REC'],
    ['to-ask', 'REC'],
  ] as const)('the owner’s yes where it is %s', (yes, done) => {
    expect(doneAfter({ ...logged, yes })).toBe(done);
  });

  test('no yes that a bench says was had, while the owner is asked or has said stop', () => {
    const asked = { ...logged, yes: 'to-ask' as const };
    const stop = desk().write('owner-answered', { answer: 'stop', seq: 2, at: MONDAY_8 - 1 });
    expect([doneAfter(asked, told), doneAfter(asked, stop, told)]).toEqual(['REC', 'REC']);
    expect(doneAfter(none, told)).toBe('OWN REC');
  });
});

test('a way that is asked for without a shoe is that of both', () => {
  const left = handAt(WELTING).write('done-unscanned', { shoe: 'left' });
  const state = stateAfter(logged, left);
  expect(wayOf(state, BOOK)?.done.has(WLT)).toBe(false);
  expect(doneStages(state, ways).has(WLT)).toBe(false);
  expect(wayOf(state, BOOK, 'left')?.done.has(WLT)).toBe(true);
});

describe('asked for again by a sending back', () => {
  const bench = handAt(WELTING);
  const worked = ['PUL', 'RIB', 'FND', 'LAS', 'WRP', 'WLT', 'INT', 'BEA', 'SEA', 'SHK', 'CRK', 'PRP'].map(
    (stage) => bench.write('done-unscanned', { stage: S(stage) }),
  );
  const again = [{ stage: INT, shoe: 'both' as const }];

  test('is where it goes and what else is to be done again, until it is done', () => {
    const back = bench.write('sent-back', { to: WLT, shoe: 'both', again });
    expect(sorted(wayAfter(...worked, back).again)).toBe('INT WLT');
    const welted = bench.write('done-unscanned');
    expect(sorted(wayAfter(...worked, back, welted).again)).toBe('INT');
  });

  test('it holds up what stands on it, though what lies between stays done', () => {
    expect(dueOn(wayAfter(...worked))).toContain(LAY);
    const back = bench.write('sent-back', { to: WLT, shoe: 'both' });
    const way = wayAfter(...worked, back);
    expect([missingFor(way, LAY), dueOn(way).includes(LAY), dueOn(way).includes(WLT)]).toEqual([
      [WLT],
      false,
      true,
    ]);
  });
});

test('what is only done if needed is not left to do', () => {
  const way = wayAfter();
  const ifNeeded = way.route.filter(({ need }) => need === 'if-needed').map(({ stage }) => stage);
  expect(ifNeeded.length).toBeGreaterThan(0);
  expect(leftOn(way).filter((stage) => ifNeeded.includes(stage))).toEqual([]);
});

test('every stage stands on the owner’s yes where the site, or the route, has no stage for it', () => {
  const way = wayAfter();
  expect(way.route.map(({ stage }) => stage)).not.toContain(S('OWN'));
  expect(standsOnYes(way, S('TRI'))).toBe(true);
  expect(standsOnYes({ ...way, ways: { ...ways, owner: null } }, S('TRI'))).toBe(true);
});

test('no stage is beside itself', () => {
  const way = wayAfter();
  for (const { stage } of way.route) expect(besideEachOther(way, stage, stage)).toBe(false);
});

describe('nothing settles', () => {
  const settling = (stage: StageCode, book = BOOK, ...records: readonly LedgerRecord[]) =>
    settlingBefore(stateAfter(logged, ...records), wayAfter(...records), book, stage, MONDAY_8);

  test('before a stage that is not on the route', () => {
    expect(settling(S('XYZ'))).toEqual([]);
  });

  test('of what has not been done yet', () => {
    expect(settling(WLT)).toEqual([]);
  });

  test('of a stage that the site’s book no longer has', () => {
    const bench = handAt(WELTING);
    const clockIn = bench.write('clocked-in', { stage: S('LAS') });
    const records = [clockIn, bench.write('clocked-out', { stage: S('LAS'), of: clockIn.id })];
    expect(settling(WLT, BOOK, ...records)).toHaveLength(1);
    expect(settling(WLT, { ...BOOK, stages: [] }, ...records)).toEqual([]);
  });
});

test('work that was left unfinished is not the last that finished the stage', () => {
  const bench = handAt(WELTING);
  const [first, second] = [bench.write('clocked-in'), bench.write('clocked-in')];
  const done = bench.write('clocked-out', { of: first.id });
  const left = bench.write('clocked-out', { of: second.id, outcome: 'not-finished' });
  const state = stateAfter(first, second, done, left);
  expect(lastDone(state, WLT)?.id).toBe(first.id);
});

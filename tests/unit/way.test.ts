/** A pair's way by the catalogue's own routes, with every stage of a site as it begins. */
import { describe, expect, test } from 'vitest';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord, Shoe } from '../../src/domain/record/kinds.ts';
import {
  againAfter,
  againOn,
  besideEachOther,
  dueOn,
  isOnRoute,
  lastDone,
  lastOf,
  leftOn,
  missingFor,
  settlingBefore,
  standsOnYes,
  type Way,
  wayOf,
} from '../../src/domain/way.ts';
import {
  DESK,
  fullBook,
  handAt,
  MONDAY_8,
  PAIR,
  placed,
  RUTH,
  siteBook,
  TOMASZ,
  type Told,
  WELTING,
} from '../support/builders.ts';

const BOOK = fullBook();
const S = asStageCode;

const office = () => handAt(DESK, RUTH, MONDAY_8 - DAY_MS);
const stateOf = (...records: readonly LedgerRecord[]) => foldPair(PAIR, placed(records));

function wayIn(state: PairState, shoe: Shoe = 'both'): Way {
  const way = wayOf(state, BOOK, shoe);
  if (way === null) throw new Error('the pair has no way');
  return way;
}

/** Logged, and these stages done. */
function pairWith(done: string, told: Told<'pair-logged'> = {}): PairState {
  const bench = handAt(WELTING, TOMASZ);
  const worked = done.split(' ').filter(Boolean);
  return stateOf(
    office().write('pair-logged', { yes: 'given', ...told }),
    ...worked.map((stage) => bench.write('done-unscanned', { stage: S(stage) })),
  );
}

const codes = (stages: readonly StageCode[]) => stages.join(' ');
const UP_TO_STRIPPED = 'REC TRI CLN PUL';

describe('a full rebuild', () => {
  test('begins with booking in, and sets out on several fronts once it is stripped', () => {
    // Booked in by being logged, and looked over where its condition was logged with it.
    expect(codes(dueOn(wayIn(pairWith(''))))).toBe('TRI CLN');
    expect(codes(dueOn(wayIn(pairWith('REC TRI'))))).toBe('CLN PUL FND PRP HBL');
    expect(codes(dueOn(wayIn(pairWith(UP_TO_STRIPPED))))).toBe('RIB FND PRP HBL');
  });

  test('says what is missing nearest before a stage', () => {
    expect(codes(missingFor(wayIn(pairWith(UP_TO_STRIPPED)), S('LAS')))).toBe('RIB FND');
    expect(codes(missingFor(wayIn(pairWith(`${UP_TO_STRIPPED} RIB FND`)), S('LAS')))).toBe('');
  });

  test('has its heel built beside the line, and not laid beside its own welting', () => {
    const way = wayIn(pairWith(''));
    expect(besideEachOther(way, S('HBL'), S('LAY'))).toBe(true);
    expect(besideEachOther(way, S('WLT'), S('LAY'))).toBe(false);
    expect(besideEachOther(way, S('LAY'), S('LAY'))).toBe(false);
  });

  test('is left with nothing once all is done', () => {
    const all = leftOn(wayIn(pairWith('')));
    expect(leftOn(wayIn(pairWith(codes(all))))).toEqual([]);
  });
});

describe('a heel only', () => {
  test('takes no welt, and its top piece waits for the old one to come off', () => {
    const way = wayIn(pairWith('REC TRI', { job: 'HL' }));
    expect([isOnRoute(way, S('WLT')), isOnRoute(way, S('TOP'))]).toEqual([false, true]);
    expect(codes(missingFor(way, S('TOP')))).toBe('PUL');
  });

  test('takes the welt where somebody asks for it', () => {
    const asked = office();
    const state = stateOf(
      asked.write('pair-logged', { job: 'HL' }),
      asked.write('stage-asked', { stages: [S('WLT')] }),
    );
    expect(leftOn(wayIn(state))).toContain(S('WLT'));
  });
});

test('a stage that is not needed hands on what it needs', () => {
  const state = stateOf(
    office().write('pair-logged'),
    handAt(WELTING).write('not-needed', { stage: S('RIB') }),
  );
  expect(codes(missingFor(wayIn(state), S('LAS')))).toBe('PUL FND');
});

test('a pair keeps the routes under which it was logged', () => {
  const [first] = BOOK.routes;
  if (first === undefined) throw new Error('no routes');
  const none = first.steps.map((step) => ({ ...step, need: step.need.map(() => 'never' as const) }));
  const book = fullBook({ routes: [first, { ...first, version: 2, steps: none }] });
  const logged = (route: number | null) => stateOf(office().write('pair-logged', { route }));
  const steps = (route: number | null) => wayOf(logged(route), book)?.route.length;
  expect([steps(1), steps(2), steps(null)]).toEqual([steps(1), 0, steps(1)]);
});

test('without routes, or never logged, nothing is known to be missing', () => {
  expect(wayOf(pairWith(''), siteBook())).toBeNull();
  expect(wayOf(stateOf(handAt(WELTING).write('found-here')), BOOK)).toBeNull();
});

describe('the owner’s yes', () => {
  test.each([
    ['given', '', false],
    ['to-ask', 'OWN', true],
    ['not-wanted', '', false],
  ] as const)('%s: stripping down misses «%s»', (yes, missing, onRoute) => {
    const way = wayIn(pairWith('REC TRI CLN', { yes }));
    expect([codes(missingFor(way, S('PUL'))), isOnRoute(way, S('OWN'))]).toEqual([missing, onRoute]);
  });

  test('stands before whatever cannot be put back, and not before the looking over', () => {
    const way = wayIn(pairWith('', { yes: 'to-ask' }));
    const stand = ['PUL', 'WLT', 'PRP', 'TRI', 'CLN', 'OWN'].map((stage) => standsOnYes(way, S(stage)));
    expect(stand).toEqual([true, true, true, false, false, false]);
  });

  test('given with the pair, it does not speak for the looking over', () => {
    const missing = (done: string) => codes(missingFor(wayIn(pairWith(done)), S('PUL')));
    expect([missing(''), missing('REC'), missing('REC TRI')]).toEqual(['TRI', 'TRI', '']);
  });

  test('asked for again, it is missing again before what is not yet done', () => {
    const logged = office().write('pair-logged', { yes: 'given' });
    const state = stateOf(logged, handAt(WELTING).write('owner-asked'));
    expect(codes(missingFor(wayIn(state), S('PRP')))).toBe('OWN');
  });
});

describe('sent back', () => {
  const MADE = 'PRP LAY RND STI SNA LEV SLP HBL HAT TOP BRS SC1 SC2 ETR EST WAX EPL BSC BST DET UCL UPL';
  const done = pairWith(`${UP_TO_STRIPPED} RIB FND LAS WRP WLT INT BEA SEA SHK CRK ${MADE}`);

  /** Colour rework is on both shoes, shape and seam rework on one: common practice, no source. */
  test('to the edge trimming, one shoe is trimmed again, and both are stained and waxed again', () => {
    const again = againAfter(wayIn(done, 'left'), S('ETR'), 'left');
    const said = again.map(({ stage, shoe }) => `${stage} ${shoe}`);
    expect(said).toEqual(['EST both', 'WAX both', 'EPL both', 'DET left']);
  });

  test('to the staining itself, the other shoe follows it there', () => {
    const again = againAfter(wayIn(done, 'left'), S('EST'), 'left');
    expect(again[0]).toEqual({ stage: S('EST'), shoe: 'both' });
    expect(againAfter(wayIn(done), S('EST'), 'both').map(({ stage }) => stage)).not.toContain(S('EST'));
  });

  test('by the catalogue’s fault: of the stages it names, those that are done', () => {
    const way = wayIn(pairWith('PUL LAS WLT INT', {}), 'right');
    const named = ['WLT', 'INT', 'BEA', 'EST'].map(S);
    expect(againOn(way, S('WLT'), 'right', named)).toEqual([{ stage: S('INT'), shoe: 'right' }]);
  });
});

describe('what still settles', () => {
  const bench = handAt(WELTING, TOMASZ);
  const clockIn = bench.write('clocked-in', { stage: S('LAS') });
  const clockOut = bench.write('clocked-out', { stage: S('LAS'), of: clockIn.id });
  const state = stateOf(office().write('pair-logged'), clockIn, clockOut);
  const at = (minutes: number, of = state) =>
    settlingBefore(of, wayIn(of), BOOK, S('WLT'), clockOut.at + minutes * MINUTE_MS);

  test('settles for the site’s least wait after the last spell, and not a minute longer', () => {
    const least = BOOK.stages.find(({ code }) => code === 'LAS')?.settles?.least ?? 0;
    const until = clockOut.at + least * MINUTE_MS;
    expect(least).toBeGreaterThan(0);
    expect([at(0), at(least - 1), at(least)]).toEqual([
      [{ stage: S('LAS'), until }],
      [{ stage: S('LAS'), until }],
      [],
    ]);
  });

  test('of work that nobody scanned nothing is known', () => {
    const untimed = stateOf(office().write('pair-logged'), clockIn, { ...clockOut, timed: false });
    expect(at(0, untimed)).toEqual([]);
  });

  test('a clock ahead makes no wait where the site has none', () => {
    const welt = bench.write('clocked-in', { stage: S('INT') });
    const end = bench.write('clocked-out', { stage: S('INT'), of: welt.id, at: MONDAY_8 + HOUR_MS });
    const early = stateOf(office().write('pair-logged'), welt, end);
    expect(settlingBefore(early, wayIn(early), BOOK, S('BEA'), MONDAY_8)).toEqual([]);
  });
});

test('the last spell that finished a stage is told for the shoe that is asked about', () => {
  const bench = handAt(WELTING, TOMASZ);
  const left = bench.write('done-unscanned', { shoe: 'left' });
  const right = bench.write('done-unscanned', { shoe: 'right' });
  const state = stateOf(left, right);
  const last = (shoe: Shoe) => lastDone(state, S('WLT'), shoe)?.id;
  expect([last('left'), last('right'), last('both')]).toEqual([left.id, right.id, right.id]);
  expect(lastDone(state, S('LAY'))).toBeNull();
});

test('a pair of lasts is known by number, size and fitting', () => {
  expect(lastOf({ last: '82', size: '8½', fitting: 'F' })).toBe('82 8½ F');
});

/** What a scan means, and what stands before the work, where something is missing: the book, the pair, a word that holds. */
import { describe, expect, test } from 'vitest';
import { type Begin, beginIntent, type Place } from '../../src/domain/begin.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import { type BenchNow, intentOf, type Scanned, stageHere } from '../../src/domain/intent.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  fullBook,
  handAt,
  INES,
  LAYING,
  PAIR,
  RACK,
  RUTH,
  siteBook,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';

const BOOK = fullBook();
const S = asStageCode;
const OTHER = 'P2C4DX9E' as typeof PAIR;

const NOW: BenchNow = {
  bench: WELTING,
  book: BOOK,
  outOfUse: () => null,
  lastHeldBy: () => null,
  remindersDue: () => false,
  stages: [WLT],
  on: INES,
  card: null,
  awaiting: { is: 'nothing' },
  finding: false,
};
const ticket = (pair = PAIR): Scanned => ({
  code: { kind: 'ticket', pair, checked: true, shoe: null },
  holder: null,
  pair: null,
});
const rack: Scanned = { code: { kind: 'rack', rack: RACK }, holder: null, pair: null };
const badgeOf = (holder: typeof INES): Scanned => ({
  code: { kind: 'badge', token: 'H' },
  holder,
  pair: null,
});

describe('a scan', () => {
  test.each([
    ['a ticket', ticket(), PAIR],
    ['a rack', rack, null],
  ] as const)(
    'of %s is refused where the bench has no stages, and where nobody is on',
    (_, scanned, pair) => {
      expect(intentOf(scanned, { ...NOW, stages: [] })).toEqual({ do: 'refuse', why: { is: 'not-set-up' } });
      expect(intentOf(scanned, { ...NOW, stages: [], on: null })).toEqual({
        do: 'refuse',
        why: { is: 'not-set-up' },
      });
      expect(intentOf(scanned, { ...NOW, on: null })).toEqual({
        do: 'refuse',
        why: { is: 'badge-first', pair },
      });
    },
  );

  test('of another’s badge hands over though the site’s book has not come, whatever is asked', () => {
    const handOver = { do: 'hand-over', from: INES, to: RUTH };
    const question = { ask: 'not-released', stage: WLT } as const;
    expect(intentOf(badgeOf(RUTH), { ...NOW, book: null })).toEqual(handOver);
    expect(intentOf(badgeOf(RUTH), { ...NOW, book: null, awaiting: { is: 'question', question } })).toEqual(
      handOver,
    );
  });

  test('of another pair’s ticket, while a tag is waited for, is a scan of that pair', () => {
    const awaiting = { is: 'tag', pair: PAIR } as const;
    expect(intentOf(ticket(OTHER), { ...NOW, awaiting })).toMatchObject({
      do: 'clock-in',
      begin: { id: OTHER },
    });
  });
});

const logged = handAt(DESK, RUTH).write('pair-logged', { yes: 'given' });
const done = (...stages: readonly string[]): readonly LedgerRecord[] => {
  const bench = handAt(LAYING, TOMASZ);
  return stages.map((stage) => bench.write('done-unscanned', { stage: S(stage) }));
};
const UP_TO_LASTED = done('TRI', 'CLN', 'PUL', 'RIB', 'FND', 'LAS', 'WRP');

/** What comes first before the work: what is asked, or what is done. */
function first(pair: PairState, told: Partial<Begin> = {}, place: Partial<Place> = {}) {
  const begin: Begin = {
    id: PAIR,
    pair,
    stage: WLT,
    shoe: 'both',
    on: INES,
    settled: new Set(),
    ...told,
  };
  const intent = beginIntent(begin, { ...NOW, ...place });
  if (intent.do !== 'ask') return intent.do;
  const { question } = intent;
  return question.ask === 'not-due' ? `not-due ${question.missing.join(' ')}` : question.ask;
}

describe('a word that lets past', () => {
  const outOfUse = () => 'guard loose';
  const word = (told: object, at = WELTING) =>
    stateAfter(logged, ...UP_TO_LASTED, handAt(at, RUTH).write('let-through', told));

  test('the machine is good for the hand that it names, and for no other', () => {
    const pair = word({ past: 'out-of-use', hand: INES });
    expect(first(pair, { on: INES }, { outOfUse })).toBe('clock-in');
    expect(first(pair, { on: TOMASZ }, { outOfUse })).toBe('out-of-use');
  });

  test('what is missing is good at whatever bench it was said, and for whatever hand', () => {
    const told = handAt(DESK, RUTH).write('let-through', { past: 'not-due', hand: TOMASZ, seq: 9 });
    expect(first(stateAfter(logged))).toMatch(/^not-due/);
    expect(first(stateAfter(logged, told))).toBe('clock-in');
  });
});

describe('with no book yet', () => {
  const book = null;

  test('a parted pair is asked about its shoe alone', () => {
    const parted = stateAfter(logged, handAt(LAYING).write('parted'));
    expect(first(parted, {}, { book })).toBe('which-shoe');
  });

  test('a pair that is open elsewhere is asked about, since nothing is known of its way', () => {
    const open = stateAfter(logged, handAt(LAYING, TOMASZ).write('clocked-in', { stage: S('HBL') }));
    expect(first(open, {}, { book })).toBe('open-elsewhere');
    expect(first(open, {}, { book: siteBook() })).toBe('open-elsewhere');
  });
});

test('a pair that is open at this very bench is not open elsewhere', () => {
  const open = handAt(WELTING, TOMASZ).write('clocked-in');
  expect(first(stateAfter(logged, ...UP_TO_LASTED, open))).toBe('clock-in');
});

test('a pair that nobody logged has no lasts that another could have', () => {
  const pair = stateAfter(handAt(LAYING).write('found-here'));
  expect(first(pair, { stage: S('LAS') }, { lastHeldBy: () => OTHER })).toBe('clock-in');
});

describe('the owner’s yes among what is missing', () => {
  const looked = done('TRI', 'CLN');
  const PUL = S('PUL');

  test('is not told again once it has been asked about', () => {
    const pair = stateAfter({ ...logged, yes: 'to-ask' }, ...looked);
    expect(first(pair, { stage: PUL })).toBe('owners-yes');
    expect(first(pair, { stage: PUL, settled: new Set(['owners-yes']) })).toBe('clock-in');
  });

  test('is told where a bench wants it and the owner was never asked', () => {
    const wanted = handAt(WELTING).write('stage-asked', { stages: [S('OWN')] });
    const pair = stateAfter({ ...logged, yes: 'not-wanted' }, ...looked, wanted);
    expect(first(pair, { stage: PUL })).toBe('not-due OWN');
  });
});

describe('the stage that a pair is here for', () => {
  const pair = stateAfter(logged, ...done('TRI', 'CLN', 'PUL'));
  const at = (stages: string, state = pair, book: BenchNow['book'] = BOOK) =>
    stageHere(state, 'both', { stages: stages.split(' ').map(S), book });

  test('is what its job always takes before what is only done if needed', () => {
    expect(at('CLO RIB')).toBe('RIB');
  });

  test('is what can begin before what something is missing for', () => {
    expect(at('LAS RIB')).toBe('RIB');
    expect(at('LAS CLO')).toBe('CLO');
  });

  test('is what its job always takes where nothing can begin', () => {
    expect(at('LAS WLT')).toBe('LAS');
    expect(at('CLO LAS', stateAfter(logged))).toBe('LAS');
  });

  test('is not what was only to be done if needed, once something stands on it', () => {
    expect(at('CLO', stateAfter(logged, ...UP_TO_LASTED))).toBe('CLO');
    expect(at('CLO INT', stateAfter(logged, ...UP_TO_LASTED, ...done('WLT')))).toBe('INT');
  });

  test('with no book is the last of the bench once all are done, be it the only one', () => {
    const welted = stateAfter(logged, handAt(WELTING).write('done-unscanned'));
    expect(at('WLT', welted, null)).toBe('WLT');
  });
});

import { describe, expect, test } from 'vitest';
import { type Ask, type Begin, beginIntent, hurdleOf, type Place } from '../../src/domain/begin.ts';
import { asStageCode, type OperativeId, type StageCode } from '../../src/domain/ids.ts';
import { endIntent } from '../../src/domain/intent.ts';
import { HURDLES, type Shoe } from '../../src/domain/record/kinds.ts';
import { BENCHES, QUESTIONS } from '../support/intent-cases.ts';
import { type Situation, type SituationName, situation } from '../support/intent-situations.ts';
import {
  CHECK_BENCH,
  INES,
  LASTING_BENCH,
  OTHER_PAIR,
  PAIR,
  PIA,
  TRIMMING_BENCH,
  WELTING_BENCH,
  WORKS,
} from '../support/intent-works.ts';

interface Told {
  readonly on?: OperativeId;
  readonly shoe?: Shoe;
  readonly stage?: StageCode;
  readonly place?: Partial<Place>;
}

const WLT = asStageCode('WLT');

/** All that is asked, answered with yes one after the other, and what it comes to. */
function walk(
  name: SituationName,
  at = WELTING_BENCH,
  { on = INES, shoe = 'both', stage, place }: Told = {},
) {
  const met: Situation = situation(name, { at, me: on });
  const settled = new Set<Ask>();
  const said: string[] = [];
  let now: Shoe = shoe;
  for (;;) {
    const begin: Begin = {
      id: PAIR,
      pair: met.pair,
      stage: stage ?? at.stages[0] ?? WLT,
      shoe: now,
      on,
      settled: new Set(settled),
    };
    const intent = beginIntent(begin, { ...at, ...met.place, ...place });
    if (intent.do !== 'ask') return [...said, intent.do].join(', ');
    const { ask } = intent.question;
    if (settled.has(ask)) throw new Error(`${ask} is asked again`);
    settled.add(ask);
    said.push(ask);
    if (ask === 'which-shoe') now = 'right';
  }
}

describe('what stands before the work is asked one thing at a time', () => {
  test.each<readonly [SituationName, string]>([
    ['due here', 'clock-in'],
    ['that no tablet has heard of', 'clock-in'],
    ['closed', 'closed, clock-in'],
    ['set aside', 'set-aside, clock-in'],
    ['all done here', 'done-already, clock-in'],
    ['logged, nothing done', 'not-due, clock-in'],
    ['of a job without this stage', 'not-on-route, clock-in'],
    ['with a stop note', 'stopped'],
    ['with a note not seen', 'see-notes'],
  ])('%s: %s', (name, all) => {
    expect(walk(name)).toBe(all);
  });

  test('from what makes the others idle to what is nearest to the hands', () => {
    expect(walk('with everything against it', TRIMMING_BENCH, { on: PIA })).toBe(
      'closed, returned-in-parts, set-aside, parted, which-shoe, open-elsewhere, not-due, not-released, out-of-use, stopped',
    );
    expect(walk('with everything against it', LASTING_BENCH)).toBe(
      'closed, returned-in-parts, set-aside, which-shoe, open-elsewhere, not-due, out-of-use, last-held, stopped',
    );
  });

  test('and where the owner has said stop, no «not yet» names the yes as missing', () => {
    const rib = asStageCode('RIB');
    expect(walk('the owner has said stop', WELTING_BENCH, { stage: rib })).toBe(
      'returned-in-parts, done-already, clock-in',
    );
    expect(walk('with everything against it', WELTING_BENCH, { stage: rib })).not.toContain('not-due');
  });

  test('what is shown comes last: reminders, then notes', () => {
    const place = { remindersDue: (stage: StageCode) => stage === WLT };
    expect(walk('with a note not seen', WELTING_BENCH, { place })).toBe('show-reminders');
    expect(walk('with a stop note', WELTING_BENCH, { place })).toBe('stopped');
  });
});

describe('one shoe alone', () => {
  test('is asked about only where the ticket of the pair was scanned', () => {
    expect(walk('parted')).toBe('which-shoe, clock-in');
    expect(walk('parted', WELTING_BENCH, { shoe: 'left' })).toBe('clock-in');
  });

  test('let past where both belong together, it is asked all the same which one it is', () => {
    expect(walk('parted', TRIMMING_BENCH)).toBe('parted, which-shoe, clock-in');
    expect(walk('parted, let past', TRIMMING_BENCH)).toBe('which-shoe, clock-in');
  });

  test('is not elsewhere because the other one is', () => {
    expect(walk('parted, the left one open elsewhere', WELTING_BENCH, { shoe: 'right' })).toBe('clock-in');
    expect(walk('parted, the left one open elsewhere', WELTING_BENCH, { shoe: 'left' })).toBe(
      'open-elsewhere, clock-in',
    );
  });
});

describe('a machine', () => {
  const outOfUse = () => 'guard loose';

  test('is asked about its own stage alone', () => {
    const place = { outOfUse: (stage: StageCode) => (stage === WLT ? 'guard loose' : null) };
    expect(walk('due here', WELTING_BENCH, { place })).toBe('out-of-use, clock-in');
    expect(walk('first stage done here', WELTING_BENCH, { place, stage: asStageCode('INT') })).toBe(
      'clock-in',
    );
  });

  test('and a hand let past it at one bench are not let past at another', () => {
    expect(walk('the machine out of use, let past', WELTING_BENCH)).toBe('clock-in');
    const { bench } = BENCHES['the trimming bench'];
    const there = { bench, outOfUse };
    expect(walk('the machine out of use, let past', WELTING_BENCH, { place: there })).toBe(
      'out-of-use, clock-in',
    );
    expect(walk('a hand not released, let past', WELTING_BENCH, { on: PIA })).toBe('clock-in');
    expect(walk('a hand not released, let past', WELTING_BENCH, { on: PIA, place: { bench } })).toBe(
      'not-released, clock-in',
    );
  });
});

test('what a pair is let past at one stage, it is not let past at the next', () => {
  expect(walk('not due, let past')).toBe('clock-in');
  expect(walk('not due, let past', WELTING_BENCH, { stage: asStageCode('LAY') })).toBe('not-due, clock-in');
});

describe('the pair of lasts', () => {
  const held = { lastHeldBy: (last: string) => (last === '82 8 F' ? OTHER_PAIR : null) };

  test('is asked about where it is taken, unless this very pair has it', () => {
    expect(walk('due here', LASTING_BENCH, { place: held })).toBe('last-held, clock-in');
    expect(walk('due here', WELTING_BENCH, { place: held })).toBe('clock-in');
    expect(walk('due here', LASTING_BENCH, { place: { lastHeldBy: () => PAIR } })).toBe('clock-in');
  });
});

test('a named person can let a pair past each hurdle, by the question of the same name, and nothing else', () => {
  const asked = Object.values(QUESTIONS).map((question) => [question.ask, hurdleOf(question)] as const);
  expect(asked.flatMap(([, hurdle]) => hurdle ?? []).toSorted()).toEqual([...HURDLES].toSorted());
  for (const [ask, hurdle] of asked) expect([ask, null]).toContain(hurdle);
});

describe('the end of a spell', () => {
  const endOf = (name: SituationName, at = WELTING_BENCH) => {
    const { pair } = situation(name, { at, me: INES });
    const spell = pair?.spells.findLast(({ outcome }) => outcome === 'open');
    if (pair == null || spell === undefined) throw new Error('nothing is open');
    return endIntent(pair, spell, INES, { book: WORKS });
  };

  test('is the end, at the check and at the box with questions of their own', () => {
    expect(endOf('open here by me').do).toBe('clock-out');
    expect(endOf('open here by me', CHECK_BENCH).do).toBe('final-check');
    expect(endOf('open here by me', BENCHES['the box bench']).do).toBe('boxing');
  });

  test('waits for the notes that came in, also at the check', () => {
    expect(endOf('open here by me, a note came in')).toMatchObject({ do: 'notes-came-in', stopped: false });
    expect(endOf('open here by me, a stop note came in', CHECK_BENCH)).toMatchObject({
      do: 'notes-came-in',
      stopped: true,
    });
  });
});

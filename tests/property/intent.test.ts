import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Ask,
  type Begin,
  type BeginIntent,
  beginIntent,
  hurdleOf,
  type Place,
} from '../../src/domain/begin.ts';
import { type Code, classify } from '../../src/domain/code.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { wordsHeld } from '../../src/domain/fold/words.ts';
import { asBenchId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { type BenchNow, intentOf, type Scanned } from '../../src/domain/intent.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { handAt, INES, INT, LAY, MONDAY_8, PAIR, RUTH, TOMASZ, WLT } from '../support/builders.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';
import { AWAITING, everyIntent, intentName, QUESTIONS, SCANS } from '../support/intent-cases.ts';
import { OTHER_PAIR, PIA, WORKS } from '../support/intent-works.ts';

const histories: fc.Arbitrary<readonly Placed[]> = fc.oneof(
  honestHistories(3).map(({ made }) => made),
  wildHeaps,
);
const stateOf = (placed: readonly Placed[]) => (placed.length === 0 ? null : foldPair(PAIR, placed));
const pairs = fc.oneof(
  { weight: 1, arbitrary: fc.constant(null) },
  { weight: 9, arbitrary: histories.map(stateOf) },
);

const places: fc.Arbitrary<Place> = fc
  .record({
    bench: fc.constantFrom('bench-a', 'bench-b', 'bench-d').map(asBenchId),
    book: fc.constantFrom(WORKS, WORKS, null),
    why: fc.constantFrom(null, null, 'guard loose'),
    holder: fc.constantFrom(null, null, OTHER_PAIR),
    reminders: fc.boolean(),
  })
  .map(({ bench, book, why, holder, reminders }) => ({
    bench,
    book,
    outOfUse: () => why,
    lastHeldBy: () => holder,
    remindersDue: () => reminders,
  }));

const operatives = fc.constantFrom(INES, TOMASZ, RUTH, PIA, null);
const benches: fc.Arbitrary<BenchNow> = fc
  .record({
    place: places,
    stages: fc.subarray([WLT, INT, LAY]),
    on: operatives,
    awaiting: fc.constantFrom(...AWAITING),
    finding: fc.boolean(),
    card: fc.constantFrom(null, PAIR),
  })
  .map(({ place, ...rest }) => ({ ...place, ...rest }));

const codes = fc.oneof(
  { weight: 6, arbitrary: fc.constantFrom<Code>(...Object.values(SCANS).map(({ code }) => code)) },
  { weight: 1, arbitrary: fc.string({ unit: 'binary' }).map((text) => classify(text, 'typed')) },
);
const scans: fc.Arbitrary<Scanned> = fc.record({ code: codes, holder: operatives, pair: pairs });
const ticket: Code = classify(PAIR, 'camera');

describe('any scan at any bench', () => {
  test('has one answer of the known ones, always the same', () => {
    const known = new Set(everyIntent().map(({ name }) => name));
    fc.assert(
      fc.property(scans, benches, (scan, now) => {
        const intent = intentOf(scan, now);
        expect(known).toContain(intentName(intent));
        expect(intentOf(structuredClone(scan), { ...now })).toEqual(intent);
      }),
      { numRuns: 1000 },
    );
  });

  test('means the same whatever the order in which the pair’s records arrived', () => {
    const both = histories.chain((placed) => fc.tuple(fc.constant(placed), arrivalsOf(placed)));
    fc.assert(
      fc.property(both, benches, ([placed, arrived], now) => {
        const means = (records: readonly Placed[]) =>
          intentOf({ code: ticket, holder: null, pair: stateOf(records) }, now);
        expect(means(arrived)).toEqual(means(placed));
      }),
      { numRuns: 200 },
    );
  });

  test('makes a record only where the bench is set up, and of a pair only by a hand who is on', () => {
    fc.assert(
      fc.property(scans, benches, (scan, now) => {
        const intent = intentOf(scan, now);
        if (intent.do === 'enrol' || intent.do === 'refuse') return;
        expect(now.stages.length).toBeGreaterThan(0);
        if ('pair' in intent || 'begin' in intent) expect(now.on).not.toBeNull();
      }),
      { numRuns: 1000 },
    );
  });
});

describe('a ticket, with a hand on at a bench that is set up', () => {
  const inWork = benches
    .filter(({ stages, on }) => stages.length > 0 && on !== null)
    .map((now): BenchNow => ({ ...now, finding: false }));
  const ENDS = ['clock-out', 'final-check', 'boxing', 'notes-came-in'];

  test('ends nothing but a spell of this hand, open at this bench, and ends one where there is one', () => {
    fc.assert(
      fc.property(pairs, inWork, (pair, now) => {
        const intent = intentOf({ code: ticket, holder: null, pair }, now);
        const mine = (pair === null ? [] : openSpells(pair)).filter(
          ({ bench, by }) => bench === now.bench && by === now.on,
        );
        expect(ENDS.includes(intent.do)).toBe(mine.length > 0);
        if ('spell' in intent) expect(mine).toContainEqual(intent.spell);
      }),
      { numRuns: 1000 },
    );
  });

  test('clocks in without a question only at a stage of this bench, with nothing in the way', () => {
    fc.assert(
      fc.property(pairs, inWork, (pair, now) => {
        const intent = intentOf({ code: ticket, holder: null, pair }, now);
        if (intent.do !== 'clock-in') return;
        const { stage, shoe } = intent.begin;
        expect(now.stages).toContain(stage);
        expect([intent.unknownPair, now.remindersDue(stage)]).toEqual([pair === null || !pair.logged, false]);
        if (pair === null) return;
        expect([pair.setAside, pair.closedAt, pair.parted, shoe]).toEqual([null, null, null, 'both']);
        expect(pair.owner.is).not.toBe('stopped');
        expect(openSpells(pair).filter((spell) => spell.stage === stage)).toEqual([]);
        const inTheWay = pair.notes.filter(
          ({ note, cured, released, seen }) =>
            cured === null &&
            ((note.weight === 'stop' && released === null) ||
              ((note.seeAt.length === 0 || note.seeAt.includes(stage)) &&
                !seen.some((one) => one.by === now.on && one.stage === stage))),
        );
        expect(inTheWay).toEqual([]);
      }),
      { numRuns: 1500 },
    );
  });
});

describe('beginning', () => {
  const begins: fc.Arbitrary<Begin> = fc.record({
    id: fc.constant(PAIR),
    pair: pairs,
    stage: fc.constantFrom(WLT, INT, LAY),
    shoe: fc.constantFrom('both', 'left', 'right'),
    on: fc.constantFrom(INES, TOMASZ, RUTH, PIA),
    settled: fc.constant(new Set<Ask>()),
  });
  const asks = Object.keys(QUESTIONS) as readonly Ask[];

  /** Answers each question with yes, and says which shoe it is, until none is left. */
  function walk(begin: Begin, place: Place): { readonly asked: readonly Ask[]; readonly end: BeginIntent } {
    const asked: Ask[] = [];
    let now = begin;
    for (let turn = 0; turn <= asks.length; turn += 1) {
      const intent = beginIntent(now, place);
      if (intent.do !== 'ask') return { asked, end: intent };
      const { ask } = intent.question;
      asked.push(ask);
      const shoe = ask === 'which-shoe' ? 'left' : now.shoe;
      now = { ...now, shoe, settled: new Set([...now.settled, ask]) };
    }
    throw new Error(`asked without end: ${asked.join(' ')}`);
  }

  test('always comes to an end: each question is asked once at most, and in the one order', () => {
    const order: readonly Ask[] = [
      'closed',
      'returned-in-parts',
      'set-aside',
      'parted',
      'which-shoe',
      'open-elsewhere',
      'done-already',
      'not-on-route',
      'owners-yes',
      'not-due',
      'not-released',
      'out-of-use',
      'last-held',
    ];
    fc.assert(
      fc.property(begins, places, (begin, place) => {
        const { asked, end } = walk(begin, place);
        expect(asked).toEqual(order.filter((ask) => asked.includes(ask)));
        expect(['stopped', 'show-reminders', 'see-notes', 'clock-in']).toContain(end.do);
      }),
      { numRuns: 1500 },
    );
  });

  /** The history, and then what is told, each a minute later than anything before it. */
  function andThen(placed: readonly Placed[], ...told: readonly LedgerRecord[]): readonly Placed[] {
    return [...placed, ...told.map((record) => ({ record, pos: null, epoch: null }))];
  }

  test('past what a named person has let it, it is not asked again until the stage is done, and then it is', () => {
    fc.assert(
      fc.property(honestHistories(0), begins, places, ({ made }, begin, place) => {
        const { stage, on } = begin;
        const asked = walk({ ...begin, pair: stateOf(made) }, place).asked;
        const begun = { ...begin, pair: stateOf(made), settled: new Set<Ask>() };
        const first = beginIntent(begun, place);
        const past = first.do === 'ask' ? hurdleOf(first.question) : null;
        if (past === null) return;
        const pen = handAt(place.bench, on, MONDAY_8 + DAY_MS * 30);
        const word = pen.write('let-through', { seq: 1001, stage, past, by: RUTH });
        const letPast = andThen(made, word);
        const then = walk({ ...begun, pair: stateOf(letPast) }, place).asked;
        expect(then).toEqual(asked.filter((ask) => ask !== past));
        const clockIn = pen.write('clocked-in', { seq: 1002, stage });
        const clockOut = pen.write('clocked-out', { seq: 1003, stage, of: clockIn.id });
        const done = andThen(letPast, clockIn, clockOut);
        expect(wordsHeld(foldPair(PAIR, done)).map(({ id }) => id)).not.toContain(word.id);
      }),
      { numRuns: 500 },
    );
  });
});

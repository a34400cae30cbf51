import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Code, classify } from '../../src/domain/code.ts';
import { foldPair, type PairState } from '../../src/domain/fold/pair.ts';
import { asBenchId } from '../../src/domain/ids.ts';
import { type BenchNow, intentOf, type Scanned } from '../../src/domain/intent.ts';
import { DSP, INES, INT, LAY, PAIR, RUTH, TOMASZ, WLT } from '../support/builders.ts';
import { honestHistories, wildHeaps } from '../support/histories.ts';

const pairs: fc.Arbitrary<PairState | null> = fc.option(
  fc.oneof(
    honestHistories(3).map(({ made }) => foldPair(PAIR, made)),
    wildHeaps.map((heap) => foldPair(PAIR, heap)),
  ),
  { freq: 8 },
);
const ticket: Code = { kind: 'ticket', pair: PAIR, checked: true };
const codes = fc.oneof(
  { weight: 4, arbitrary: fc.constant(ticket) },
  {
    weight: 1,
    arbitrary: fc.constantFrom<Code>({ kind: 'badge', token: 'H' }, { kind: 'bench', token: 'W' }),
  },
  { weight: 1, arbitrary: fc.string({ unit: 'binary' }).map((text) => classify(text, 'typed')) },
);
const operatives = fc.constantFrom(INES, TOMASZ, RUTH, null);
const benches: fc.Arbitrary<BenchNow> = fc.record({
  bench: fc.constantFrom('bench-a', 'bench-b', 'bench-d').map(asBenchId),
  stages: fc.subarray([WLT, INT, LAY, DSP]),
  on: operatives,
});
const scans: fc.Arbitrary<Scanned> = fc.record({ code: codes, holder: operatives, pair: pairs });

describe('any scan at any bench', () => {
  test('has one answer, always the same', () => {
    const doings = [
      'enrol',
      'badge-on',
      'badge-off',
      'hand-over',
      'clock-in',
      'clock-out',
      'see-notes',
      'stopped',
      'ask',
      'refuse',
    ];
    fc.assert(
      fc.property(scans, benches, (scan, now) => {
        const intent = intentOf(scan, now);
        expect(doings).toContain(intent.do);
        expect(intentOf(structuredClone(scan), structuredClone(now))).toEqual(intent);
      }),
      { numRuns: 500 },
    );
  });

  test('makes a record only where the bench is set up, and of a pair only by a hand who is on', () => {
    fc.assert(
      fc.property(scans, benches, (scan, now) => {
        const intent = intentOf(scan, now);
        if (intent.do === 'enrol' || intent.do === 'refuse') return;
        expect(now.stages.length).toBeGreaterThan(0);
        if ('pair' in intent) expect(now.on).not.toBeNull();
      }),
      { numRuns: 500 },
    );
  });
});

describe('a ticket, with a hand on at a bench that is set up', () => {
  const inWork = benches.filter(({ stages, on }) => stages.length > 0 && on !== null);

  test('clocks out nothing but a spell of this hand, open at this bench', () => {
    fc.assert(
      fc.property(pairs, inWork, (pair, now) => {
        const intent = intentOf({ code: ticket, holder: null, pair }, now);
        const mine = (pair?.spells ?? []).filter(
          ({ outcome, bench, by }) => outcome === 'open' && bench === now.bench && by === now.on,
        );
        expect(intent.do === 'clock-out').toBe(mine.length > 0);
        if (intent.do === 'clock-out') expect(mine).toContainEqual(intent.spell);
      }),
      { numRuns: 500 },
    );
  });

  test('clocks in without a question only at a stage of this bench, with nothing in the way', () => {
    fc.assert(
      fc.property(pairs, inWork, (pair, now) => {
        const intent = intentOf({ code: ticket, holder: null, pair }, now);
        if (intent.do !== 'clock-in') return;
        expect(now.stages).toContain(intent.stage);
        expect(intent.unknownPair).toBe((pair?.logged ?? null) === null);
        if (pair === null) return;
        const { setAside, closedAt, spells, notes } = pair;
        expect([setAside, closedAt, spells.filter(({ outcome }) => outcome === 'open')]).toEqual([
          null,
          null,
          [],
        ]);
        const inTheWay = notes.filter(
          ({ note, cured, seen }) =>
            cured === null &&
            (note.seeAt.length === 0 || note.seeAt.includes(intent.stage)) &&
            (note.weight === 'stop' ||
              !seen.some(({ by, stage }) => by === now.on && stage === intent.stage)),
        );
        expect(inTheWay).toEqual([]);
      }),
      { numRuns: 1000 },
    );
  });
});

/**
 * The figures against published values. Beside each case its source, and how it is known: read in the primary text (P),
 * read in a secondary source (S), from memory (M), or worked out from a formula that is so marked (D).
 */
import fc from 'fast-check';
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { quantile } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import { individualsOf } from '../../src/domain/figures/individuals.ts';
import { hereFrom, littleOf, type PairHere, rolledYield } from '../../src/domain/figures/line-figures.ts';
import type { Member } from '../../src/domain/figures/member.ts';
import { median, percentile } from '../../src/domain/figures/percentile.ts';
import { asPairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { DESK, DSP, handAt, LAYING, MONDAY_8, PAIR, placed, RUTH, siteBook } from '../support/builders.ts';

/** NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.2: twelve resistivities of a gage study, in ohm·cm (P). */
const RESISTIVITIES = [
  95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199, 95.1682,
];
const ONE_TO_TEN = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

describe('percentiles, Hyndman and Fan type 6', () => {
  test('NIST/SEMATECH 7.2.6.2: the ninth decile of the resistivities is 95.1981 (P)', () => {
    // k = 11, d = 0.7 of p(N + 1) = 11.7; unrounded 95.19807.
    expect(percentile(RESISTIVITIES, 0.9)).toBeCloseTo(95.19807, 7);
  });

  test.each([
    ['the first quartile of 1 … 10', ONE_TO_TEN, 0.25, 2.75],
    ['the ninth decile of 1 … 10', ONE_TO_TEN, 0.9, 9.9],
    [
      'the whole of the resistivities (S: a mathematics library’s test of the NIST example)',
      RESISTIVITIES,
      1,
      95.199,
    ],
    ['a twentieth of the resistivities, below the least rank', RESISTIVITIES, 0.05, 95.061],
  ] as const)('%s (D)', (_what, sample, p, expected) => {
    expect(percentile(sample, p)).toBeCloseTo(expected, 9);
  });

  test('it is none of the eight other types: the ninth decile of the resistivities by each of them (D)', () => {
    const others = [95.1959, 95.1959, 95.1959, 95.19546, 95.19683, 95.19568, 95.197243, 95.19714];
    for (const other of others) expect(percentile(RESISTIVITIES, 0.9)).not.toBeCloseTo(other, 5);
  });

  // simple-statistics has type 7, whose rank is 1 + (n - 1)p. Type 6 has (n + 1)p: the same rank at another p.
  test('at the p of the same rank, simple-statistics gives the same', () => {
    expect(quantile(RESISTIVITIES, 0.9)).toBeCloseTo(95.19568, 9);
    const samples = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), {
      minLength: 2,
      maxLength: 40,
    });
    fc.assert(
      fc.property(samples, fc.double({ min: 0, max: 1, noNaN: true }), (sample, p) => {
        const alike = ((sample.length + 1) * p - 1) / (sample.length - 1);
        const theirs = quantile(sample, Math.min(Math.max(alike, 0), 1));
        expect(percentile(sample, p)).toBeCloseTo(theirs, 5);
        expect(median(sample)).toBeCloseTo(quantile(sample, 0.5), 6);
      }),
      { numRuns: 500 },
    );
  });

  test('of nothing there is none, and of one thing it is that', () => {
    expect(percentile([], 0.5)).toBeNull();
    expect([0, 0.5, 0.9, 1].map((p) => percentile([7], p))).toEqual([7, 7, 7, 7]);
  });
});

const valued = (values: readonly number[]) => values.map((value) => ({ value }));

describe('a chart of individuals and moving range', () => {
  /** Results: NIST/SEMATECH 6.3.2.2 by way of a course’s verification table (S); the ten batches’ flow rates from memory (M). */
  const FLOW_RATES = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
  /** Jet engine diameters of the quality-control manual of a statistics system: data (P), limits (M), with exact d₂. */
  const DIAMETERS = [
    78.4, 80.1, 84.4, 79.1, 80.4, 83.5, 73.8, 83.5, 75.0, 76.8, 70.5, 80.3, 82.4, 79.4, 86.4, 90.5, 77.7,
    82.5, 79.9, 83.2,
  ];

  test('NIST/SEMATECH 6.3.2.2: mean 50.81, mean range 1.8778, limits 45.8159 and 55.8041', () => {
    const { limits, points } = individualsOf(valued(FLOW_RATES), null);
    expect(limits?.mean).toBeCloseTo(50.81, 9);
    expect(limits?.meanRange).toBeCloseTo(1.8778, 4);
    expect(limits?.lower).toBeCloseTo(45.8159, 4);
    expect(limits?.upper).toBeCloseTo(55.8041, 4);
    expect(points.some(({ outside }) => outside)).toBe(false);
  });

  test('the diameters: mean 80.39, mean range 5.32632, limits 66.2290 and 94.5510', () => {
    const { limits } = individualsOf(valued(DIAMETERS), null);
    expect(limits?.mean).toBeCloseTo(80.39, 9);
    expect(limits?.meanRange).toBeCloseTo(5.32632, 5);
    // Those limits are with d₂ = 2/√π = 1.12838, ours with the tables’ 1.128.
    expect(Math.abs((limits?.lower ?? 0) - 66.229)).toBeLessThan(0.005);
    expect(Math.abs((limits?.upper ?? 0) - 94.551)).toBeLessThan(0.005);
  });

  test('a point beyond the limits is marked; a count has no limit below 0', () => {
    const counts = valued([4, 5, 3, 4, 4, 5, 3, 4, 5, 4, 20]);
    const { points, limits } = individualsOf(counts);
    expect(points.flatMap(({ outside }, index) => (outside ? [index] : []))).toEqual([10]);
    expect(limits?.lower).toBe(0);
  });

  test('with fewer than ten points there are no limits and nothing is marked', () => {
    const { points, limits } = individualsOf(valued([4, 5, 3, 4, 4, 5, 3, 4, 400]));
    expect(limits).toBeNull();
    expect(points.some(({ outside }) => outside)).toBe(false);
  });
});

const here = (spans: readonly (readonly [number, number | null])[]): readonly PairHere[] =>
  spans.map(([firstAt, lastAt]) => ({ pair: PAIR, firstAt, lastAt }));

describe('Little’s law', () => {
  test('Little and Graves (2008): 160 bottles, 8 a month, so 20 months (inputs P, result S)', () => {
    const [month, stay] = [30 * DAY_MS, 20 * 30 * DAY_MS];
    const bottles = Array.from({ length: 640 }, (_, index) => (index * month) / 8);
    const cellar = here(bottles.map((laid) => [laid, laid + stay]));
    const { inWork, perDay, leadDays, closes } = littleOf(cellar, { from: 2 * stay, to: 3 * stay });
    expect(inWork).toBeCloseTo(160, 9);
    expect(perDay * 30).toBeCloseTo(8, 9);
    expect((leadDays ?? 0) / 30).toBeCloseTo(20, 9);
    expect(closes).toBeCloseTo(1, 9);
  });

  // R. Bronson, Operations Research (1982), problems 23.3, 23.14 and 23.16, as a university’s page lists them (S); what a
  // problem does not ask for follows from ρ: L = ρ/(1 − ρ), Lq = L − ρ, W = L/λ, Wq = Lq/λ (D).
  test.each([
    { arrivals: 24, service: 30, l: 4, wMinutes: 10, lq: 3.2, wqMinutes: 8 },
    { arrivals: 30, service: 40, l: 3, wMinutes: 6, lq: 2.25, wqMinutes: 4.5 },
    { arrivals: 60, service: 80, l: 3, wMinutes: 3, lq: 2.25, wqMinutes: 2.25 },
  ])(
    'M/M/1, $arrivals an hour and $service served: L $l, W $wMinutes min, Lq $lq, Wq $wqMinutes min',
    (queue) => {
      const { customers, from, to } = simulated(queue.arrivals, queue.service);
      const system = littleOf(here(customers.map(({ came, left }) => [came, left])), { from, to });
      const line = littleOf(here(customers.map(({ came, begun }) => [came, begun])), { from, to });
      const minutes = (days: number | null) => ((days ?? 0) * DAY_MS) / MINUTE_MS;
      expect(system.inWork / queue.l).toBeCloseTo(1, 1);
      expect(minutes(system.leadDays) / queue.wMinutes).toBeCloseTo(1, 1);
      expect(line.inWork / queue.lq).toBeCloseTo(1, 1);
      expect(minutes(line.leadDays) / queue.wqMinutes).toBeCloseTo(1, 1);
      expect(system.perDay / 24 / queue.arrivals).toBeCloseTo(1, 2);
      // Whatever chance did to L and W, their law holds over so long a time.
      expect(system.closes).toBeCloseTo(1, 3);
      expect(line.closes).toBeCloseTo(1, 3);
    },
  );

  test('from empty to empty it holds exactly: the area is the sum of the times (D)', () => {
    const stays = fc.tuple(fc.nat(5_000), fc.integer({ min: 1, max: 3_000 }));
    fc.assert(
      fc.property(fc.array(stays, { minLength: 1, maxLength: 30 }), (all) => {
        const spans = all.map(([from, ms]) => [MONDAY_8 + from, MONDAY_8 + from + ms] as const);
        const { inWork, perDay, leadDays, closes } = littleOf(here(spans), {
          from: MONDAY_8 - 1,
          to: MONDAY_8 + 9_000,
        });
        const days = 9_001 / DAY_MS;
        const sum = all.reduce((total, [, ms]) => total + ms / DAY_MS, 0);
        expect(inWork * days).toBeCloseTo(sum, 12);
        expect(perDay * days * (leadDays ?? 0)).toBeCloseTo(sum, 12);
        expect(closes).toBeCloseTo(1, 9);
      }),
      { numRuns: 200 },
    );
  });

  test('and so it does on the records of a works that was empty before and after', () => {
    const desk = handAt(DESK, RUTH, MONDAY_8);
    const bench = handAt(LAYING, RUTH, MONDAY_8 + HOUR_MS);
    const facts = ['P7K4292W', 'P7K4293T', 'P7K4294R'].map(asPairId).flatMap((pair, index) => {
      const logged = desk.write('pair-logged', { pair });
      const begun = bench.write('clocked-in', { pair, stage: DSP });
      const at = MONDAY_8 + (index + 2) ** 3 * HOUR_MS;
      const gone = bench.write('clocked-out', { pair, stage: DSP, of: begun.id, closes: true, at });
      return factsOf(pair, placed([logged, begun, gone]), siteBook()) ?? [];
    });
    const whole = littleOf(hereFrom(facts), { from: MONDAY_8 - HOUR_MS, to: MONDAY_8 + 10 * DAY_MS });
    expect(whole.closes).toBeCloseTo(1, 12);
    // Cut off in the middle it need not hold: some have come and not yet left.
    const part = littleOf(hereFrom(facts), { from: MONDAY_8 - HOUR_MS, to: MONDAY_8 + 30 * HOUR_MS });
    expect(part.closes).not.toBeCloseTo(1, 2);
  });

  test('over a time in which nothing left, it says nothing', () => {
    const { leadDays, closes, inWork } = littleOf(here([[0, null]]), { from: 0, to: DAY_MS });
    expect([leadDays, closes, inWork]).toEqual([null, null, 1]);
  });
});

interface Customer {
  readonly came: number;
  readonly begun: number;
  readonly left: number;
}

/** A queue with one server, both times exponential, in milliseconds; from a time on when it has run in. */
function simulated(arrivalsAnHour: number, servedAnHour: number) {
  const random = xoroshiro128plus(20_261_125);
  const exponential = (perHour: number) => (-Math.log(1 - uniformFloat64(random)) * HOUR_MS) / perHour;
  const customers: Customer[] = [];
  let [came, free] = [0, 0];
  for (let count = 0; count < 300_000; count += 1) {
    came += exponential(arrivalsAnHour);
    const begun = Math.max(came, free);
    free = begun + exponential(servedAnHour);
    customers.push({ came, begun, left: free });
  }
  return { customers, from: came / 50, to: came };
}

const pairs = (count: number): readonly Member[] =>
  Array.from({ length: count }, () => ({ pair: PAIR, share: 1, records: [], ms: null }));
const stages = (all: readonly (readonly [good: number, out: number])[]) =>
  all.map(([good, out]) => ({ firstPass: pairs(good), out: pairs(out) }));

describe('yields', () => {
  test.each([
    [
      'throughput yields 0.95, 0.84, 0.88: a statistics package’s help page on rolled throughput yield, 0.70 (P)',
      [
        [95, 100],
        [84, 100],
        [88, 100],
      ],
      0.70224,
    ],
    ['100 in, 10 scrapped and 5 reworked: an article on first time yield, 0.85 (S)', [[85, 100]], 0.85],
    [
      'no rework: final over initial, the same article, 0.80 (S)',
      [
        [95, 100],
        [85, 95],
        [80, 85],
      ],
      0.8,
    ],
    [
      '0.98, 0.97, 0.99, 0.96: a public calculator’s worked page, 0.9035 (S)',
      [
        [98, 100],
        [97, 100],
        [99, 100],
        [96, 100],
      ],
      0.9035,
    ],
  ] as const)('%s', (_source, all, expected) => {
    expect(rolledYield(stages(all))).toBeCloseTo(expected, 4);
  });

  test('a stage that put nothing through says nothing; where none did, nothing is said', () => {
    expect(
      rolledYield(
        stages([
          [9, 10],
          [0, 0],
        ]),
      ),
    ).toBeCloseTo(0.9, 12);
    expect(rolledYield(stages([[0, 0]]))).toBeNull();
  });
});

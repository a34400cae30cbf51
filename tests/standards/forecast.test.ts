/**
 * The forecast's simulator held against queueing theory: one stage that never closes, to which pairs come at random (a
 * Poisson process) and at which work takes exponential times.
 *
 * M/M/1 and M/M/3 as worked in R. Bronson, «Schaum's Outline of Operations Research» (McGraw-Hill, 1982), problems 23.3,
 * 23.14, 23.16 and 24.6, with the results as a university's course page lists them (the book was not opened). They follow
 * from the closed forms: Lq = ρ²/(1 − ρ) for one server, Erlang's C formula for three.
 */
import { describe, expect, test } from 'vitest';
import { simulate } from '../../src/domain/forecast/simulate.ts';
import { queueLine } from '../unit/forecast-line.ts';

/** In the unit of its problem; `ticks` to that unit fine enough that whole ticks do not tell. */
interface Problem {
  readonly problem: string;
  readonly arrivals: number;
  readonly service: number;
  readonly hands: number;
  readonly wait: number;
  readonly ticks: number;
}

const PROBLEMS: readonly Problem[] = [
  // W is 1/6 h, of which 1/30 h is service.
  { problem: '23.3', arrivals: 24, service: 1 / 30, hands: 1, wait: 1 / 6 - 1 / 30, ticks: 3600 },
  { problem: '23.14', arrivals: 0.5, service: 1.5, hands: 1, wait: 4.5, ticks: 60 },
  { problem: '23.16', arrivals: 1, service: 0.75, hands: 1, wait: 2.25, ticks: 120 },
  // 300 a year, 2 days of service, a year of 365 days; days.
  { problem: '24.6', arrivals: 300 / 365, service: 2, hands: 3, wait: 0.352 / (300 / 365), ticks: 60 },
];

/** Long enough that the empty beginning of each run does not tell. */
const PAIRS_A_RUN = 6_000;
const RUNS = 40;

describe('a stage to which pairs come at random', () => {
  test.each(PROBLEMS)(
    'in problem $problem they wait $wait in the mean',
    ({ arrivals, service, hands, wait, ticks }) => {
      const every = ticks / arrivals;
      const length = Math.round(PAIRS_A_RUN * every);
      const line = queueLine({ ticks: length, every, mean: service * ticks, hands });
      const means = Array.from({ length: RUNS }, (_, seed) => {
        const { stoodTicks, served } = simulate(line, { runs: 1, seed });
        return (stoodTicks[0] ?? 0) / (served[0] ?? 1) / ticks;
      });
      const mean = means.reduce((sum, one) => sum + one, 0) / RUNS;
      const variance = means.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (RUNS - 1);
      const sampling = 4 * Math.sqrt(variance / RUNS);
      expect(Math.abs(mean - wait)).toBeLessThan(sampling);
      // The sampling error is small enough to tell the result from that of another queue.
      expect(sampling).toBeLessThan(0.15 * wait);
    },
  );
});

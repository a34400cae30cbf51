/** Order statistics of what was measured. */
import type { Member } from './member.ts';
import type { Spread } from './sheet.ts';

/**
 * The value below which the share `p` of a population lies, estimated from a sample by the definition p(N + 1): type 6 of
 * Hyndman and Fan, «Sample Quantiles in Statistical Packages», The American Statistician 50 (1996) 361–365; NIST/SEMATECH
 * e-Handbook of Statistical Methods, 7.2.6.2. Spreadsheets mostly use type 7, which gives other values.
 * @param p 0 … 1; near the ends, where the sample holds no such rank, it is the least or the greatest value
 * @returns null for an empty sample
 */
export function percentile(sample: readonly number[], p: number): number | null {
  const sorted = [...sample].sort((a, b) => a - b);
  const rank = p * (sorted.length + 1);
  const below = sorted[Math.min(Math.max(Math.floor(rank), 1), sorted.length) - 1];
  const above = sorted[Math.min(Math.max(Math.floor(rank) + 1, 1), sorted.length) - 1];
  if (below === undefined || above === undefined) return null;
  return below + (rank - Math.floor(rank)) * (above - below);
}

/** Half of it lies below. */
export function median(sample: readonly number[]): number | null {
  return percentile(sample, 0.5);
}

/** Median and ninth decile of what the members were measured at. */
export function spreadOf(members: readonly Member[]): Spread {
  const sample = members.flatMap(({ ms }) => (ms === null ? [] : [ms]));
  return { median: median(sample), ninth: percentile(sample, 0.9), members };
}

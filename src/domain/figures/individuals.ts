/**
 * A chart of individuals and moving range: which days stand out from the ordinary ups and downs. NIST/SEMATECH e-Handbook
 * of Statistical Methods, 6.3.2.2: natural limits at the mean ± 3 · mean moving range / d₂, with d₂ = 1.128 for ranges of two.
 */

/** Mean range of two over the standard deviation, for normal values, rounded as the published tables have it. */
const D2 = 1.128;
/** With fewer the limits say little. A convention of the house, no source. */
export const POINTS_LEAST = 10;

export interface Individuals<Point extends { readonly value: number }> {
  readonly points: readonly (Point & { readonly outside: boolean })[];
  /** Null with fewer points than `POINTS_LEAST`: then none is marked. */
  readonly limits: {
    readonly mean: number;
    readonly meanRange: number;
    readonly lower: number;
    readonly upper: number;
  } | null;
}

/**
 * @param points counts or measures in their order in time, for instance a stage's output in pairs on each day on which it
 * had a shift
 * @param least what no value can be below, and so the lower limit neither: 0 for counts, null for measures
 */
export function individualsOf<Point extends { readonly value: number }>(
  points: readonly Point[],
  least: number | null = 0,
): Individuals<Point> {
  if (points.length < POINTS_LEAST)
    return { points: points.map((point) => ({ ...point, outside: false })), limits: null };
  const values = points.map(({ value }) => value);
  const mean = meanOf(values);
  const meanRange = meanOf(values.slice(1).map((value, index) => Math.abs(value - (values[index] ?? value))));
  const reach = (3 * meanRange) / D2;
  const lower = least === null ? mean - reach : Math.max(least, mean - reach);
  const upper = mean + reach;
  return {
    points: points.map((point) => ({ ...point, outside: point.value < lower || point.value > upper })),
    limits: { mean, meanRange, lower, upper },
  };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

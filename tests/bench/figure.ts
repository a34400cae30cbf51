/** What one measurement gives: its values, what they are held to, and what they stand beside. */

/** Values by name. */
export type Values = Readonly<Record<string, number>>;

export interface Figure {
  readonly unit: 'ms' | 'kB' | 'records/s' | 'times' | 'MB';
  readonly values: Values;
  /** The most that a value may be; empty for a figure that is only watched. */
  readonly budget: Values;
  /** The least that a value may be. */
  readonly least?: Values;
  /** The same machine at the same time doing something plain, so that a figure means something on another machine. */
  readonly baseline: { readonly is: string; readonly values: Values } | null;
  readonly runs: number;
  /** Under what conditions, and what is left out. */
  readonly how: string;
}

/** Null where there is nothing to keep. */
export function keepsBudget({
  values,
  budget,
  least = {},
}: Pick<Figure, 'values' | 'budget' | 'least'>): boolean | null {
  if (Object.keys({ ...budget, ...least }).length === 0) return null;
  return (
    Object.entries(budget).every(([name, most]) => (values[name] ?? Number.POSITIVE_INFINITY) <= most) &&
    Object.entries(least).every(([name, few]) => (values[name] ?? Number.NEGATIVE_INFINITY) >= few)
  );
}

/** Each value over the baseline's value of the same name. */
export function ratios({ values, baseline }: Pick<Figure, 'values' | 'baseline'>): Values | null {
  if (baseline === null) return null;
  return Object.fromEntries(
    Object.entries(baseline.values).map(([name, base]) => [name, round((values[name] ?? Number.NaN) / base)]),
  );
}

/**
 * The sample's quantile by nearest rank: the smallest value that at least the share `q` of the sample does not
 * exceed. No value is invented between two that were measured.
 * @throws RangeError for an empty sample
 */
export function quantile(sample: readonly number[], q: number): number {
  const sorted = [...sample].sort((a, b) => a - b);
  const value = sorted[Math.max(0, Math.ceil(q * sorted.length) - 1)];
  if (value === undefined) throw new RangeError('nothing was measured');
  return value;
}

export function p50AndP95(ms: readonly number[]): Values {
  return { p50_ms: round(quantile(ms, 0.5)), p95_ms: round(quantile(ms, 0.95)) };
}

/** To a tenth, which is as fine as a page's clock tells. */
export function round(value: number): number {
  return Math.round(value * 10) / 10;
}

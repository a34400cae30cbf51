/**
 * The quantile by nearest rank: the least value that at least the share of the sample does not exceed. Nothing is invented
 * between two values, so a pair that is ready in no run in between has no date in between.
 * @param sorted least first, not empty
 */
export function quantileOf(sorted: ArrayLike<number>, share: number): number {
  const rank = Math.ceil(share * sorted.length) - 1;
  return sorted[Math.min(sorted.length - 1, Math.max(0, rank))] ?? Number.NaN;
}

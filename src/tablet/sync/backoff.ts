/** How long to wait before trying again: full jitter, so that a works' tablets do not all come back at one instant. */
import { MINUTE_MS } from '../../domain/instant.ts';

export const BACKOFF_FIRST_MS = 1_000;
export const BACKOFF_MAX_MS = 5 * MINUTE_MS;

/**
 * @param failures how many tries in a row have failed, 1 for the first
 * @param random 0 to 1
 * @returns milliseconds, anywhere between 0 and a bound that doubles from 1 s to 5 min
 */
export function backoffMs(failures: number, random: number): number {
  const bound = Math.min(BACKOFF_FIRST_MS * 2 ** (failures - 1), BACKOFF_MAX_MS);
  return Math.round(bound * random);
}

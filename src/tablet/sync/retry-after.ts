/** Longer than this is no advice to a tablet that holds people's work. */
export const RETRY_AFTER_MAX_MS = 15 * 60_000;

/**
 * What a Retry-After header asks for (RFC 9110, section 10.2.3: seconds, or a date), in milliseconds from `now`;
 * null where it is absent or is neither.
 */
export function retryAfterMs(header: string | null, now: number): number | null {
  if (header === null) return null;
  const text = header.trim();
  const ms = /^\d{1,9}$/.test(text) ? Number(text) * 1000 : Date.parse(text) - now;
  return Number.isNaN(ms) ? null : Math.min(Math.max(ms, 0), RETRY_AFTER_MAX_MS);
}

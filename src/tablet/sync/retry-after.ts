/** Longer than this is no advice to a tablet that holds people's work. */
export const RETRY_AFTER_MAX_MS = 15 * 60_000;

const SECONDS = /^\d{1,9}$/;
/** The three forms of HTTP-date (RFC 9110, section 5.6.7) begin with the day's name. `Date.parse` alone takes much else for a date. */
const DATE = /^(Mon|Tue|Wed|Thu|Fri|Sat|Sun)[a-z]*,? .*\d{2}:\d{2}:\d{2}/;

/**
 * What a Retry-After header asks for (RFC 9110, section 10.2.3: seconds, or a date), in milliseconds from `now`;
 * null where it is absent or is neither.
 */
export function retryAfterMs(header: string | null, now: number): number | null {
  if (header === null) return null;
  const text = header.trim();
  const ms = SECONDS.test(text) ? Number(text) * 1000 : DATE.test(text) ? Date.parse(text) - now : Number.NaN;
  return Number.isNaN(ms) ? null : Math.min(Math.max(ms, 0), RETRY_AFTER_MAX_MS);
}

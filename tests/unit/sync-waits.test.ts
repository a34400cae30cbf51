/** How long the tablet waits: full jitter, and what a Retry-After header asks for. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { BACKOFF_MAX_MS, backoffMs } from '../../src/tablet/sync/backoff.ts';
import { RETRY_AFTER_MAX_MS, retryAfterMs } from '../../src/tablet/sync/retry-after.ts';

test('a wait lies between nothing and a bound that doubles from one second to five minutes', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 5000 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (failures, random) => {
        const ms = backoffMs(failures, random);
        const bound = Math.min(1000 * 2 ** Math.min(failures - 1, 30), BACKOFF_MAX_MS);
        expect(ms).toBeGreaterThanOrEqual(0);
        expect(ms).toBeLessThanOrEqual(bound);
      },
    ),
  );
});

/** RFC 9110, section 10.2.3, gives both examples; section 5.6.7 the same date in its two obsolete forms. */
test.each([
  ['120', 120_000],
  ['Fri, 31 Dec 1999 23:59:59 GMT', 59_000],
  [' 3 ', 3000],
  ['0', 0],
  ['Fri, 31 Dec 1999 23:00:00 GMT', 0],
  ['999999999', RETRY_AFTER_MAX_MS],
  ['soon', null],
  [null, null],
])('Retry-After «%s» at 23:59 asks for %s ms', (header, expected) => {
  expect(retryAfterMs(header, Date.UTC(1999, 11, 31, 23, 59, 0))).toBe(expected);
});

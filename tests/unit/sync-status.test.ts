/** What is said of the server after a try without an answer, and how long the next one waits. */
import { expect, test } from 'vitest';
import { BACKOFF_MAX_MS, backoffMs } from '../../src/tablet/sync/backoff.ts';
import { PERHAPS_CERTIFICATE_MS, withoutAnswer } from '../../src/tablet/sync/status.ts';

test('no secure connection points to the certificate once it has lasted for minutes', () => {
  expect(withoutAnswer('no-connection', PERHAPS_CERTIFICATE_MS - 1)).toEqual({
    is: 'unreachable',
    why: 'no-connection',
  });
  expect(withoutAnswer('no-connection', PERHAPS_CERTIFICATE_MS)).toEqual({ is: 'perhaps-certificate' });
});

test.each(['no-network', 'timed-out', 'not-our-server'] as const)(
  'however long it lasts, %s says nothing of a certificate',
  (why) => {
    expect(withoutAnswer(why, 100 * PERHAPS_CERTIFICATE_MS)).toEqual({ is: 'unreachable', why });
  },
);

test('the longest wait doubles from a second, and stays at five minutes', () => {
  const longest = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map((failures) => backoffMs(failures, 1));
  const doubled = [1, 2, 4, 8, 16, 32, 64, 128, 256].map((seconds) => seconds * 1000);
  expect(longest).toEqual([...doubled, BACKOFF_MAX_MS, BACKOFF_MAX_MS]);
});

test('a wait is a whole number of milliseconds, and chance may make it nothing', () => {
  expect([backoffMs(1, 0), backoffMs(20, 0), backoffMs(1, 0.3334)]).toEqual([0, 0, 333]);
});

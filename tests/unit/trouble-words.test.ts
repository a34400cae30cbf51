/** What a store in trouble comes to on the screen: other words where something was to be recorded than where not. */
import { expect, test } from 'vitest';
import type { LedgerTrouble } from '../../src/tablet/ledger/ledger.ts';
import { broken, troubles } from '../../src/words/bench.ts';

const EVERY: Readonly<Record<LedgerTrouble, string>> = {
  'no-storage': 'This window keeps nothing',
  full: 'The device is full',
  'blocked-by-old-window': 'An old window is open',
  unreadable: 'The store cannot be read',
  stuck: 'The store does not answer',
  'lost-connection': 'The store was closed',
};

test.each(Object.entries(EVERY))('%s: the screen that cannot go on says «%s»', (trouble, says) => {
  const line = broken[trouble];
  expect(line?.says).toBe(says);
  expect(line?.next).toMatch(/Waxend|supervisor/);
  expect(`${line?.says} ${line?.next}`).not.toMatch(/recorded|try again|[.!]$/i);
  // What failed to be recorded says so first, and can be tried again at once.
  expect(troubles[trouble]?.says).toMatch(/^Not recorded: /);
});

test('no trouble has words and no cause', () => {
  expect(Object.keys(broken).toSorted()).toEqual(Object.keys(EVERY).toSorted());
  expect(Object.keys(troubles).toSorted()).toEqual(Object.keys(EVERY).toSorted());
});

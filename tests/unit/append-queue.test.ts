/** What is taken together, and what happens when that fails. */
import { describe, expect, test } from 'vitest';
import { asSiteId } from '../../src/domain/ids.ts';
import { type Append, AppendQueue, type Outcome } from '../../src/server/ledger/append-queue.ts';
import { MONDAY_8, SITE } from '../support/builders.ts';

const OTHER = asSiteId('netherby');

/** Appends told apart by when they came; only their number of records matters here. */
const append = (number: number, records = 1): Append => ({
  fits: Array.from({ length: records }) as unknown as Append['fits'],
  receivedAt: MONDAY_8 + number,
});

/** A queue over a store that takes a turn for each transaction, and fails where it is told to. */
function queueThat(fails: (numbers: readonly number[]) => boolean = () => false) {
  const transactions: (readonly number[])[] = [];
  const queue = new AppendQueue(
    async (_, appends) => {
      const numbers = appends.map(({ receivedAt }) => receivedAt - MONDAY_8);
      transactions.push(numbers);
      await new Promise((resolve) => setImmediate(resolve));
      if (fails(numbers)) throw new Error(`not ${numbers.join(' ')}`);
      return appends.map(({ fits }): Outcome => fits.map(() => 'stored'));
    },
    () => new Promise((resolve) => setImmediate(resolve)),
  );
  return { queue, transactions };
}

describe('appends', () => {
  test('that come at once are one transaction, in the order in which they came, answered each for itself', async () => {
    const { queue, transactions } = queueThat();
    const outcomes = await Promise.all([1, 2, 3].map((number) => queue.add(SITE, append(number, number))));
    expect(transactions).toEqual([[1, 2, 3]]);
    expect(outcomes.map(({ length }) => length)).toEqual([1, 2, 3]);
  });

  test('that come while others are under way go in the next one', async () => {
    const { queue, transactions } = queueThat();
    const first = queue.add(SITE, append(1));
    await new Promise((resolve) => setTimeout(resolve, 2));
    await Promise.all([first, queue.add(SITE, append(2)), queue.add(SITE, append(3))]);
    await queue.add(SITE, append(4));
    expect(transactions.flat()).toEqual([1, 2, 3, 4]);
    expect(transactions.at(-1)).toEqual([4]);
  });

  test('are never so many together that others wait long, but one that is long by itself is taken', async () => {
    const { queue, transactions } = queueThat();
    await Promise.all([
      queue.add(SITE, append(1, 1_500)),
      queue.add(SITE, append(2, 600)),
      queue.add(SITE, append(3, 5_000)),
      queue.add(SITE, append(4, 1)),
    ]);
    expect(transactions).toEqual([[1], [2], [3], [4]]);
  });

  test('of which one cannot be taken are tried each by itself, and only that one fails', async () => {
    const { queue, transactions } = queueThat((numbers) => numbers.includes(2));
    const outcomes = await Promise.allSettled([1, 2, 3].map((number) => queue.add(SITE, append(number))));
    expect(outcomes.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect(transactions).toEqual([[1, 2, 3], [1], [2], [3]]);
    await queue.add(SITE, append(4));
    expect(transactions.at(-1)).toEqual([4]);
  });

  test('of two sites do not wait for each other', async () => {
    const { queue, transactions } = queueThat();
    await Promise.all([queue.add(SITE, append(1)), queue.add(OTHER, append(2)), queue.add(SITE, append(3))]);
    expect(transactions).toEqual([[1, 3], [2]]);
  });
});

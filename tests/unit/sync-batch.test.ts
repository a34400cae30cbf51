/** Which waiting records go next: as many as fit, and past those on which the server fails. */
import { describe, expect, test } from 'vitest';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { TabletLedger } from '../../src/tablet/ledger/ledger.ts';
import { Batches, bytesOf, PASSED_OVER_MS } from '../../src/tablet/sync/batch.ts';
import { PUSH_BYTES_MAX, PUSH_RECORDS_MAX } from '../../src/wire/push.ts';
import { handAt, MONDAY_8, WELTING } from '../support/builders.ts';

const NOW = MONDAY_8;

/** Records in the outbox, with what is asked for of it. */
function outbox(count: number, reasons: readonly string[] = []) {
  const hand = handAt(WELTING);
  const records = Array.from({ length: count }, (_, index) =>
    hand.write('set-aside', { reason: reasons[index] ?? 'thread' }),
  );
  const limits: number[] = [];
  const waiting: LedgerRecord[] = [...records];
  const ledger: Pick<TabletLedger, 'waiting'> = {
    waiting: async (limit) => {
      limits.push(limit);
      return waiting.slice(0, limit);
    },
  };
  const batches = new Batches();
  const next = async (now = NOW) => (await batches.next(ledger as TabletLedger, now)).map(({ seq }) => seq);
  const take = (...seqs: readonly number[]) => records.filter(({ seq }) => seqs.includes(seq));
  const settle = (...seqs: readonly number[]) =>
    waiting.splice(0, waiting.length, ...waiting.filter(({ seq }) => !seqs.includes(seq)));
  return { batches, limits, next, records, settle, take };
}

const upTo = (last: number) => Array.from({ length: last }, (_, index) => index + 1);

describe('a batch', () => {
  test('is the oldest records, as many as one push takes', async () => {
    const { next, limits } = outbox(PUSH_RECORDS_MAX + 1);
    expect(await next()).toEqual(upTo(PUSH_RECORDS_MAX));
    expect(limits).toEqual([PUSH_RECORDS_MAX]);
  });

  test('is nothing where nothing waits', async () => {
    expect(await outbox(0).next()).toEqual([]);
  });

  /** What stands around: 64 for the body, and a comma behind each record. */
  const filling = (by: number) => {
    const [plain] = outbox(1).records;
    const empty = plain === undefined ? 0 : bytesOf(plain) - 'thread'.length;
    const room = PUSH_BYTES_MAX - 64 - 3 * (empty + 1);
    return ['x'.repeat(room - 20 + by), 'x'.repeat(10), 'x'.repeat(10)];
  };

  test('fills one request to its last byte, and not beyond', async () => {
    expect(await outbox(3, filling(0)).next()).toEqual([1, 2, 3]);
    expect(await outbox(3, filling(1)).next()).toEqual([1, 2]);
  });

  test('is counted in bytes of UTF-8, not in characters', () => {
    const [plain, other] = outbox(2, ['xx', 'é🧵']).records;
    if (plain === undefined || other === undefined) throw new Error('nothing waits');
    expect(bytesOf(other) - bytesOf(plain)).toBe(4);
  });

  test('is the first record alone where that is too large by itself', async () => {
    expect(await outbox(2, ['x'.repeat(PUSH_BYTES_MAX)]).next()).toEqual([1]);
  });
});

describe('a batch on which the server failed', () => {
  test('is halved, downwards, until one record is left', async () => {
    const { batches, next, take } = outbox(9);
    batches.failed(take(...upTo(9)), NOW);
    expect(await next()).toEqual([1, 2, 3, 4]);
    batches.failed(take(1, 2, 3), NOW);
    expect(await next()).toEqual([1]);
  });

  test('stays halved though older records wait again before one that was passed over', async () => {
    const { batches, next, take } = outbox(9);
    batches.failed(take(5), NOW);
    batches.failed(take(1, 2), NOW);
    expect(await next()).toEqual([1]);
  });

  test('doubles again with each batch that went, up to what one push takes', async () => {
    const { batches, next, limits, take } = outbox(2 * PUSH_RECORDS_MAX);
    batches.failed(take(1, 2), NOW);
    const sizes: number[] = [];
    for (let round = 0; round < 12; round += 1) {
      sizes.push((await next()).length);
      batches.went(take(1));
    }
    expect(sizes.slice(0, 4)).toEqual([1, 2, 4, 8]);
    expect([sizes.at(-1), limits.at(-1)]).toEqual([PUSH_RECORDS_MAX, PUSH_RECORDS_MAX]);
  });
});

describe('a record on which the server failed alone', () => {
  test('is passed over while others wait, and one more is asked of the outbox for it', async () => {
    const { batches, next, limits, take } = outbox(PUSH_RECORDS_MAX + 1);
    batches.failed(take(2), NOW);
    expect(batches.passedOver).toBe(1);
    expect(await next()).toEqual([1, ...upTo(PUSH_RECORDS_MAX + 1).slice(2)]);
    expect(limits).toEqual([PUSH_RECORDS_MAX + 1]);
  });

  test('is offered again alone, after its time and not before, or once the clock was put back', async () => {
    const { batches, next, take } = outbox(2);
    batches.failed(take(1), NOW);
    batches.failed(take(2), NOW + 1);
    expect(await next(NOW + 1)).toEqual([]);
    expect(await next(NOW + PASSED_OVER_MS - 1)).toEqual([]);
    expect(await next(NOW + PASSED_OVER_MS)).toEqual([1]);
    expect(await next(NOW - 1)).toEqual([1]);
    expect(await next(NOW)).toEqual([2]);
  });

  test('is passed over no more once it has left the outbox in another window', async () => {
    const { batches, next, settle, take } = outbox(3);
    batches.failed(take(1), NOW);
    batches.failed(take(2), NOW);
    settle(1);
    await next();
    expect(batches.passedOver).toBe(1);
  });

  test('that is taken after all frees the others too; the taking of others does not', () => {
    const { batches, take } = outbox(3);
    batches.failed(take(1), NOW);
    batches.failed(take(2), NOW);
    batches.went(take(3));
    expect(batches.passedOver).toBe(2);
    batches.went(take(1, 3));
    expect(batches.passedOver).toBe(0);
  });

  test('is none where the batch was empty', () => {
    const { batches } = outbox(1);
    batches.failed([], NOW);
    expect(batches.passedOver).toBe(0);
  });
});

/** Parts of the server's ledger: a pair asked for by itself, and the pages of a snapshot. */
import { describe, expect, test } from 'vitest';
import { CURSOR_START } from '../../src/domain/cursor.ts';
import { asPairId, type PairId } from '../../src/domain/ids.ts';
import { LedgerFailure } from '../../src/tablet/ledger/ledger.ts';
import { fetchPair } from '../../src/tablet/sync/fetch-pair.ts';
import type { PartsServer, SnapshotPlace } from '../../src/tablet/sync/server.ts';
import { SnapshotReading } from '../../src/tablet/sync/snapshot.ts';
import type { SnapshotAnswer } from '../../src/wire/snapshot.ts';
import { EPOCH, handAt, PAIR, seenUpTo, WELTING } from '../support/builders.ts';
import { MemoryLedger } from '../support/memory-ledger.ts';

const OTHER = asPairId('P2C4DX9E');
const DATASET = 'dataset-of-aldermoor';
const never = new AbortController().signal;
const state = {
  dataset: DATASET,
  epoch: EPOCH,
  head: seenUpTo(9),
  book: 1,
  heldSeq: 0,
  clock: { receivedAt: 1, answeredAt: 1 },
};

describe('a pair that is asked for by itself', () => {
  const rows = [{ pos: 1, record: handAt(WELTING).write('noted') }];
  const parts = {
    pair: async () => ({ is: 'answer', body: { state, records: rows }, sentAt: 0, arrivedAt: 0 }),
  } as unknown as PartsServer;
  /** A ledger into which nothing can be written. */
  const failing = (cause: Error) =>
    new (class extends MemoryLedger {
      override place() {
        return Promise.reject(cause);
      }
    })();

  test('is not held where the store is in trouble; the scan goes on without', async () => {
    const ledger = failing(new LedgerFailure('full'));
    await ledger.remember({ epoch: EPOCH });
    expect(await fetchPair({ ledger, parts, dataset: DATASET }, PAIR, never)).toBe(false);
  });

  test('hides no mistake of the program', async () => {
    const ledger = failing(new RangeError('no place'));
    await ledger.remember({ epoch: EPOCH });
    await expect(fetchPair({ ledger, parts, dataset: DATASET }, PAIR, never)).rejects.toThrow('no place');
  });
});

describe('a snapshot’s page', () => {
  /** What the server was asked for; it never answers. */
  function reading() {
    const asked: (SnapshotPlace | null)[] = [];
    const ledger = new MemoryLedger();
    const parts = {
      snapshot: (place: SnapshotPlace | null) => {
        asked.push(place);
        return new Promise(() => undefined);
      },
    } as unknown as PartsServer;
    return { asked, ledger, snapshot: new SnapshotReading(ledger, parts) };
  }
  const page = (told: Partial<SnapshotAnswer>): SnapshotAnswer => ({
    state,
    at: seenUpTo(9),
    records: [],
    next: null,
    ...told,
  });
  const endingAt = (pair: PairId, at = seenUpTo(9)) => page({ at, next: pair });

  test('that stands nowhere leads nowhere', async () => {
    expect(await reading().snapshot.take(page({ at: CURSOR_START }), never)).toBe('nowhere');
  });

  test('that is the last gives the cursor to go on from, and the ledger holds it', async () => {
    const { snapshot, ledger } = reading();
    expect(await snapshot.take(page({}), never)).toBe(seenUpTo(9));
    expect((await ledger.settings()).cursor).toBe(seenUpTo(9));
  });

  test('has the next one asked for while it is written, and that is not asked for again', async () => {
    const { snapshot, asked } = reading();
    expect(await snapshot.take(endingAt(OTHER), never)).toBeNull();
    void snapshot.ask(never);
    expect(asked).toEqual([{ at: seenUpTo(9), after: OTHER }]);
    void snapshot.ask(never);
    expect(asked).toHaveLength(2);
  });

  test('that goes no further than the one before it leads nowhere', async () => {
    const { snapshot } = reading();
    await snapshot.take(endingAt(OTHER), never);
    expect(await snapshot.take(endingAt(OTHER), never)).toBe('nowhere');
    expect(await snapshot.take(endingAt(asPairId('P0000001')), never)).toBe('nowhere');
    expect(await snapshot.take(endingAt(PAIR), never)).toBeNull();
  });

  test('of a snapshot made anew may begin again with the first pair', async () => {
    const { snapshot } = reading();
    await snapshot.take(endingAt(OTHER), never);
    expect(await snapshot.take(endingAt(OTHER, seenUpTo(10)), never)).toBeNull();
  });

  test('that was made while the server began anew is dropped, and asked for from the start', async () => {
    const { snapshot, asked, ledger } = reading();
    await snapshot.take(endingAt(OTHER), never);
    void snapshot.ask(never);
    const between = page({ state: { ...state, epoch: 'ffffffff' }, records: [] });
    expect(await snapshot.take(between, never)).toBeNull();
    void snapshot.ask(never);
    expect([asked.at(-1), (await ledger.settings()).cursor]).toEqual([null, CURSOR_START]);
  });
});

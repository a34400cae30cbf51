/**
 * What every store of photographs on a tablet must do, as named cases. They run over IndexedDB in a real browser
 * (photo-store.web.test.ts) and over the store in memory that other tests use (tests/unit/photo-memory.test.ts).
 * The cases import nothing of Node or of a test runner, so that they can run in a page.
 */
import type { Photo, PhotoStore } from '../../src/tablet/photos/photo-store.ts';
import { MONDAY_8 } from '../support/builders.ts';
import { same } from './claims.ts';

/** The budget of the store under test, so that few small photographs reach it. */
export const BUDGET_BYTES = 1_000;

export interface PhotoCase {
  readonly name: string;
  /** @param newStore another window's store over the same photographs, of which there are none when the case begins */
  readonly run: (newStore: () => PhotoStore) => Promise<void>;
}

/** A photograph of so many bytes under a hash that tells which it is; a store takes the hash at its word. */
export function photoOf(number: number, bytes = 300): Photo {
  const body = bytesOf(number, bytes);
  return {
    photo: number.toString(16).padStart(64, '0'),
    type: 'image/jpeg',
    blob: new Blob([body], { type: 'image/jpeg' }),
  };
}

/** Bytes that no store can pack, as those of a photograph: the middle of a linear congruence's numbers. */
function bytesOf(number: number, bytes: number): Uint8Array<ArrayBuffer> {
  let state = number + 1;
  return Uint8Array.from({ length: bytes }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state >>> 16;
  });
}

const hash = (number: number) => photoOf(number).photo;

/** Keeps photographs 1 to `count`, taken a second apart. */
async function keepSome(store: PhotoStore, count: number): Promise<void> {
  for (let number = 1; number <= count; number += 1)
    await store.keep(photoOf(number), MONDAY_8 + number * 1_000);
}

async function heldOf(store: PhotoStore, count: number): Promise<readonly number[]> {
  const numbers = Array.from({ length: count }, (_, index) => index + 1);
  const kept = await Promise.all(numbers.map((number) => store.get(hash(number))));
  return numbers.filter((_, index) => kept[index] !== null);
}

export const PHOTO_STORE_CASES: readonly PhotoCase[] = [
  {
    name: 'an empty store has nothing and waits for nothing',
    async run(newStore) {
      const store = newStore();
      same(await store.get(hash(1)), null);
      same(await store.waiting(10), []);
      same(await store.counts(), { waiting: 0, refused: 0 });
    },
  },
  {
    name: 'what is kept is there for every window, byte for byte, and waits',
    async run(newStore) {
      await newStore().keep(photoOf(7, 1234), MONDAY_8);
      const kept = await newStore().get(hash(7));
      const bytes = [...new Uint8Array((await kept?.blob.arrayBuffer()) ?? new ArrayBuffer(0))];
      same(bytes, [...bytesOf(7, 1234)]);
      same(
        [kept?.blob.type, kept?.type, kept?.state, kept?.at],
        ['image/jpeg', 'image/jpeg', 'waiting', MONDAY_8],
      );
    },
  },
  {
    name: 'what waits is given oldest first, as many as asked for',
    async run(newStore) {
      const store = newStore();
      await store.keep(photoOf(3), MONDAY_8 + 3);
      await store.keep(photoOf(2), MONDAY_8 + 1);
      await store.keep(photoOf(1), MONDAY_8 + 2);
      same(await store.waiting(10), [hash(2), hash(1), hash(3)]);
      same(await store.waiting(2), [hash(2), hash(1)]);
      same(await store.counts(), { waiting: 3, refused: 0 });
    },
  },
  {
    name: 'what the server holds waits no more, and what it refused is kept with the reasons and counted',
    async run(newStore) {
      const store = newStore();
      await keepSome(store, 3);
      await store.markAtServer(hash(1), 'epoch-one');
      await store.markRefused(hash(2), ['body: is no image/jpeg']);
      same(await store.waiting(10), [hash(3)]);
      same(await store.counts(), { waiting: 1, refused: 1 });
      same((await store.get(hash(1)))?.state, 'at-server');
      const refused = await store.get(hash(2));
      same([refused?.state, refused?.reasons], ['refused', ['body: is no image/jpeg']]);
    },
  },
  {
    name: 'marking one that is not held does nothing',
    async run(newStore) {
      const store = newStore();
      await store.markAtServer(hash(1), 'epoch-one');
      await store.markRefused(hash(1), ['no']);
      same(await store.get(hash(1)), null);
      same(await store.counts(), { waiting: 0, refused: 0 });
    },
  },
  {
    name: 'keeping one again changes nothing of what is known about it',
    async run(newStore) {
      const store = newStore();
      await store.keep(photoOf(1), MONDAY_8);
      await store.markAtServer(hash(1), 'epoch-one');
      await store.keep(photoOf(1), MONDAY_8 + 5_000);
      same(await store.waiting(10), []);
      same((await store.get(hash(1)))?.at, MONDAY_8);
    },
  },
  {
    name: 'what waits or was refused is never given up, however far above the budget',
    async run(newStore) {
      const store = newStore();
      await keepSome(store, 8);
      await store.markRefused(hash(1), ['no']);
      same(await heldOf(store, 8), [1, 2, 3, 4, 5, 6, 7, 8]);
    },
  },
  {
    name: 'what the server holds is given up oldest first, and only what is above the budget',
    async run(newStore) {
      const store = newStore();
      await keepSome(store, 6);
      for (const number of [5, 4, 3, 2, 1]) await store.markAtServer(hash(number), 'epoch-one');
      same(await heldOf(store, 6), [3, 4, 5, 6]);
      same(await store.waiting(10), [hash(6)]);
    },
  },
  {
    name: 'what was fetched is kept within the budget, and gives up older ones',
    async run(newStore) {
      const store = newStore();
      for (let number = 1; number <= 4; number += 1)
        await store.keepFetched(photoOf(number), MONDAY_8 + number);
      same(await heldOf(store, 4), [2, 3, 4]);
      same(await store.counts(), { waiting: 0, refused: 0 });
    },
  },
  {
    name: 'after a restore what was sent to another epoch waits again, and nothing that was fetched',
    async run(newStore) {
      const store = newStore();
      await keepSome(store, 2);
      await store.markAtServer(hash(1), 'epoch-one');
      await store.markAtServer(hash(2), 'epoch-two');
      await store.keepFetched(photoOf(3), MONDAY_8 + 9_000);
      same(await store.waitAgain('epoch-two'), 1);
      same(await store.waiting(10), [hash(1)]);
      await store.markAtServer(hash(1), 'epoch-two');
      same(await store.waitAgain('epoch-two'), 0);
      same(await store.waiting(10), []);
    },
  },
];

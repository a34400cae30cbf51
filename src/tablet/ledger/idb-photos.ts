/**
 * The tablet's photographs in IndexedDB, over the ledger's connection: one database, one version, one way of failing.
 *
 * Bytes are kept as an ArrayBuffer, not as a Blob: some browsers keep a Blob as a file of their own, which can be
 * gone when the row still is there. What is asked for often (what waits, how much is held) is answered from the
 * keys of one index, without reading any bytes.
 */
import type { IDBPTransaction } from 'idb';
import type { Instant } from '../../domain/instant.ts';
import type { KeptPhoto, Photo, PhotoCounts, PhotoStore } from '../photos/photo-store.ts';
import { PHOTO_BUDGET_BYTES } from '../photos/photo-store.ts';
import type { Connection } from './connection.ts';
import type { LedgerSchema, PhotoRow } from './migrations.ts';

type Writing = IDBPTransaction<LedgerSchema, 'photos'[], 'readwrite'>;

export class IdbPhotos implements PhotoStore {
  readonly #connection: Connection;
  readonly #budgetBytes: number;

  constructor(connection: Connection, budgetBytes = PHOTO_BUDGET_BYTES) {
    this.#connection = connection;
    this.#budgetBytes = budgetBytes;
  }

  async keep(photo: Photo, at: Instant): Promise<void> {
    await this.#add({ ...(await rowOf(photo, at)), state: 'waiting' });
  }

  async keepFetched(photo: Photo, at: Instant): Promise<void> {
    await this.#add({ ...(await rowOf(photo, at)), state: 'at-server' });
  }

  async get(photo: string): Promise<KeptPhoto | null> {
    const row = await this.#connection.read(['photos'], (reading) =>
      reading.objectStore('photos').get(photo),
    );
    if (row === undefined) return null;
    const { body, type, state, at, reasons } = row;
    return { photo, type, blob: new Blob([body], { type }), state, at, reasons };
  }

  waiting(limit: number): Promise<readonly string[]> {
    return this.#connection.read(['photos'], (reading) =>
      reading.objectStore('photos').index('state-at').getAllKeys(inState('waiting'), limit),
    );
  }

  counts(): Promise<PhotoCounts> {
    return this.#connection.read(['photos'], async (reading) => {
      const index = reading.objectStore('photos').index('state-at');
      const [waiting, refused] = await Promise.all([
        index.count(inState('waiting')),
        index.count(inState('refused')),
      ]);
      return { waiting, refused };
    });
  }

  async markAtServer(photo: string, epoch: string): Promise<void> {
    await this.#change(photo, (row) => ({ ...row, state: 'at-server', epoch, reasons: [] }));
  }

  async markRefused(photo: string, reasons: readonly string[]): Promise<void> {
    await this.#change(photo, (row) => ({ ...row, state: 'refused', reasons }));
  }

  waitAgain(epoch: string): Promise<number> {
    return this.#connection.write(['photos'], async (writing) => {
      const sent = (await held(writing)).filter((one) => one.epoch !== '' && one.epoch !== epoch);
      for (const { photo } of sent) {
        const row = await writing.objectStore('photos').get(photo);
        if (row !== undefined) await writing.objectStore('photos').put({ ...row, state: 'waiting' });
      }
      return sent.length;
    });
  }

  async #add(row: PhotoRow): Promise<void> {
    await this.#connection.write(['photos'], async (writing) => {
      const photos = writing.objectStore('photos');
      if ((await photos.getKey(row.photo)) === undefined) await photos.add(row);
      await this.#keepWithinBudget(writing);
    });
  }

  async #change(photo: string, change: (row: PhotoRow) => PhotoRow): Promise<void> {
    await this.#connection.write(['photos'], async (writing) => {
      const row = await writing.objectStore('photos').get(photo);
      if (row === undefined) return;
      await writing.objectStore('photos').put(change(row));
      await this.#keepWithinBudget(writing);
    });
  }

  async #keepWithinBudget(writing: Writing): Promise<void> {
    const atServer = await held(writing);
    let over = atServer.reduce((sum, { bytes }) => sum + bytes, 0) - this.#budgetBytes;
    for (const { photo, bytes } of atServer) {
      if (over <= 0) return;
      await writing.objectStore('photos').delete(photo);
      over -= bytes;
    }
  }
}

/** What the server holds too, oldest first, read from the index alone. */
async function held(
  writing: Writing,
): Promise<readonly { readonly photo: string; readonly bytes: number; readonly epoch: string }[]> {
  const found = [];
  const index = writing.objectStore('photos').index('state-at');
  for (let at = await index.openKeyCursor(inState('at-server')); at !== null; at = await at.continue()) {
    const [, , bytes, epoch] = at.key;
    found.push({ photo: at.primaryKey, bytes, epoch });
  }
  return found;
}

async function rowOf({ photo, type, blob }: Photo, at: Instant): Promise<Omit<PhotoRow, 'state'>> {
  // Read before the transaction, which would close while it waits for anything but its own requests.
  const body = await blob.arrayBuffer();
  return { photo, type, bytes: body.byteLength, body, at, epoch: '', reasons: [] };
}

function inState(state: PhotoRow['state']): IDBKeyRange {
  return IDBKeyRange.bound([state], [state, []]);
}

/** The page of the browser tests: the real ledger over the browser's own IndexedDB, driven from outside. */
import type { Cursor, PairId } from '../../../src/domain/ids.ts';
import type { Draft } from '../../../src/domain/record/kinds.ts';
import type { Limits } from '../../../src/tablet/ledger/connection.ts';
import { IdbLedger } from '../../../src/tablet/ledger/idb-ledger.ts';
import { LedgerFailure, type LedgerTrouble, type TabletLedger } from '../../../src/tablet/ledger/ledger.ts';
import { MIGRATIONS, type Migration } from '../../../src/tablet/ledger/migrations.ts';
import { PAIR, WELTING } from '../../support/builders.ts';
import { BUDGET_BYTES, PHOTO_STORE_CASES, photoOf } from '../photo-store.ts';
import { draftsAt, ENROLMENT, EPOCH, pulledFrom, TABLET_LEDGER_CASES } from '../tablet-ledger.ts';
import { breakStore, type StoreFault } from './store-faults.ts';

/** What the next version of the app might add. */
const NEXT: Migration = (database) => {
  database.createObjectStore('machines' as never);
};

export interface CommitOutcome {
  readonly seqs: readonly number[];
  readonly trouble: LedgerTrouble | null;
}

async function outcomeOf(ledger: TabletLedger, drafts: readonly Draft[]): Promise<CommitOutcome> {
  try {
    const made = await ledger.commit(drafts);
    return { seqs: made.map(({ seq }) => seq), trouble: null };
  } catch (cause) {
    if (!(cause instanceof LedgerFailure)) throw cause;
    return { seqs: [], trouble: cause.trouble };
  }
}

const ledgers = new Map<string, IdbLedger>();
const reported: string[] = [];

function ledger(name: string): IdbLedger {
  const held = ledgers.get(name);
  if (held === undefined) throw new Error(`no ledger ${name} is open on this page`);
  return held;
}

const ledgerPage = {
  /** @param packing over a store that keeps pairs of other benches packed, as a tablet does that was new with this app */
  async runCase(name: string, packing = false): Promise<void> {
    const found = TABLET_LEDGER_CASES.find((candidate) => candidate.name === name);
    if (found === undefined) throw new Error(`no case «${name}»`);
    const store = `case ${crypto.randomUUID()}`;
    const opened: IdbLedger[] = [];
    try {
      if (packing) await beginPacking(store);
      await found.run(() => {
        const window_ = new IdbLedger({ name: store, channel: new BroadcastChannel(store) });
        opened.push(window_);
        return window_;
      });
    } finally {
      for (const window_ of opened) window_.close();
      indexedDB.deleteDatabase(store);
    }
  },

  async runPhotoCase(name: string): Promise<void> {
    const found = PHOTO_STORE_CASES.find((candidate) => candidate.name === name);
    if (found === undefined) throw new Error(`no case «${name}»`);
    const store = `case ${crypto.randomUUID()}`;
    const opened: IdbLedger[] = [];
    try {
      await found.run(() => {
        const window_ = new IdbLedger({ name: store, photoBudgetBytes: BUDGET_BYTES });
        opened.push(window_);
        return window_.photos;
      });
    } finally {
      for (const window_ of opened) window_.close();
      indexedDB.deleteDatabase(store);
    }
  },

  /** @param told.version of the store that this window's app knows; without it this app's, `next` one more */
  open(name: string, told: { limits?: Limits; next?: boolean; version?: number } = {}): void {
    ledgers.set(
      name,
      new IdbLedger({
        name,
        channel: new BroadcastChannel(name),
        report: (setting) => reported.push(setting),
        ...(told.limits === undefined ? {} : { limits: told.limits }),
        migrations: told.next === true ? [...MIGRATIONS, NEXT] : MIGRATIONS.slice(0, told.version),
      }),
    );
  },

  /** Commits the bench's records from number `from` on, in one batch. */
  commit: (name: string, from: number, count: number): Promise<CommitOutcome> =>
    outcomeOf(ledger(name), draftsAt(undefined, from + count).slice(from)),

  /** Commits one record after the other and says the id of each to the test the moment it is made. */
  async commitWithoutEnd(name: string, told: (id: string) => Promise<void>): Promise<void> {
    for (const draft of draftsAt(undefined, 2000)) {
      const [made] = await ledger(name).commit([draft]);
      if (made !== undefined) void told(made.id);
    }
  },

  async waiting(name: string): Promise<readonly { readonly id: string; readonly seq: number }[]> {
    return (await ledger(name).waiting(10_000)).map(({ id, seq }) => ({ id, seq }));
  },

  outbox: (name: string) => ledger(name).outbox(),

  apply: (name: string, pulled: readonly { pos: number; record: unknown }[], cursor: string) =>
    ledger(name).apply(pulled, cursor as Cursor),

  /** A new tablet, set up, is given the pairs of a snapshot, has read in, and makes records of its own. */
  async readInPacked(name: string, own: number): Promise<void> {
    await ledger(name).remember({ enrolment: ENROLMENT });
    await ledger(name).place(pulledFrom(3), EPOCH);
    await ledger(name).apply([], `${EPOCH}.3` as Cursor);
    await ledger(name).remember({ readIn: true });
    await ledger(name).commit(draftsAt(WELTING, own));
  },
  pairSize: async (name: string): Promise<number> => (await ledger(name).recordsOfPair(PAIR)).length,
  async empty(name: string, stores: readonly string[]): Promise<void> {
    const database = await rawOpen(name);
    const transaction = database.transaction([...stores], 'readwrite');
    for (const store of stores) transaction.objectStore(store).clear();
    await new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onabort = () => reject(transaction.error);
    });
    database.close();
  },
  /** One setting as it stands in the store, under this very name. */
  async settingUnder(name: string, key: string): Promise<unknown> {
    const database = await rawOpen(name);
    const request = database.transaction('settings').objectStore('settings').get(key);
    const setting = await new Promise<unknown>((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    database.close();
    return setting;
  },

  async settings(name: string): Promise<unknown> {
    try {
      const settings = await ledger(name).settings();
      return { ...settings, reported };
    } catch (cause) {
      return cause instanceof LedgerFailure ? cause.trouble : Promise.reject(cause);
    }
  },

  async recordsOfThing(name: string, thing: string): Promise<readonly string[]> {
    return (await ledger(name).recordsOfThing(thing)).map(({ record }) => record.id);
  },

  /** Keeps photograph `number`, and says what went wrong. */
  async keepPhoto(name: string, number: number, bytes?: number): Promise<LedgerTrouble | null> {
    try {
      await ledger(name).photos.keep(photoOf(number, bytes), number);
      return null;
    } catch (cause) {
      return cause instanceof LedgerFailure ? cause.trouble : Promise.reject(cause);
    }
  },
  photosWaiting: (name: string) => ledger(name).photos.waiting(1_000),
  photoSize: async (name: string, number: number) =>
    (await ledger(name).photos.get(photoOf(number).photo))?.blob.size ?? null,
  markPhotoAtServer: (name: string, number: number) =>
    ledger(name).photos.markAtServer(photoOf(number).photo, 'epoch-one'),
  startAnew: (name: string): Promise<string | null> =>
    ledger(name)
      .startAnew()
      .then(
        () => null,
        (cause: unknown) => (cause instanceof Error ? cause.name : 'nothing known'),
      ),

  /** The version that the store has now; this app's own where it is not told otherwise. */
  version: () => MIGRATIONS.length,
  async versionOf(name: string): Promise<number | undefined> {
    return (await indexedDB.databases()).find((database) => database.name === name)?.version;
  },

  breakStore: (fault: StoreFault | null) => breakStore(fault),

  /** Everything the store holds, read past the ledger. */
  rows: (name: string): Promise<Record<string, readonly unknown[]>> => rowsOf(name),

  put: (name: string, store: string, row: unknown, key?: string): Promise<void> =>
    putRows(name, store, [row], key),
  putAll: (name: string, store: string, rows: readonly unknown[]): Promise<void> =>
    putRows(name, store, rows),

  /** A window of an older app that does not give way. */
  async holdOpen(name: string, version: number): Promise<void> {
    held.set(name, await rawOpen(name, version));
  },
  letGo(name: string): void {
    held.get(name)?.close();
  },

  /** Fills the store with other benches' records, 40 a pair, and times the reading of one pair. */
  async timePairs(
    name: string,
    records: number,
  ): Promise<{ readonly fillMs: number; readonly readsMs: number[] }> {
    const template = draftsAt(undefined, 1)[0];
    if (template === undefined) throw new Error('no draft');
    const from = performance.now();
    const page = 1000;
    for (let done = 0; done < records; done += page) {
      const rows = Array.from({ length: page }, (_, index) => {
        const n = done + index;
        return { pos: n + 1, record: { ...template, id: idAt(n), seq: n + 1, seen: '', pair: pairAt(n) } };
      });
      await ledger(name).apply(rows, `0a1b2c3d.${done + page}` as Cursor);
    }
    const fillMs = performance.now() - from;
    const readsMs: number[] = [];
    for (let n = 0; n < 50; n += 1) {
      const begin = performance.now();
      const held = await ledger(name).recordsOfPair(pairAt((n * 7919) % records) as PairId);
      readsMs.push(performance.now() - begin);
      if (held.length !== 40) throw new Error(`a pair has ${held.length} records`);
    }
    return { fillMs, readsMs };

    function pairAt(n: number): string {
      return `P${String(n % (records / 40)).padStart(7, '0')}`;
    }
  },
};

/** A tablet that is set up and has read in nothing is given a pair, and forgets it: nothing is left but how it keeps pairs. */
async function beginPacking(name: string): Promise<void> {
  const ledger = new IdbLedger({ name });
  await ledger.remember({ enrolment: ENROLMENT });
  const [first] = pulledFrom(1);
  if (first !== undefined) await ledger.place([first], EPOCH);
  await ledger.forget([PAIR], EPOCH, Number.MAX_SAFE_INTEGER);
  ledger.close();
  const { records, packs, settings } = await rowsOf(name);
  if (records?.length !== 0 || packs?.length !== 0 || settings?.length !== 3)
    throw new Error('the store does not pack, or is not empty');
}

function idAt(n: number): string {
  return `019a4b2c-0000-7000-8000-${n.toString(16).padStart(12, '0')}`;
}

const held = new Map<string, IDBDatabase>();

function rawOpen(name: string, version?: number): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

async function rowsOf(name: string): Promise<Record<string, readonly unknown[]>> {
  const database = await rawOpen(name);
  const stores = [...database.objectStoreNames];
  const rows = await Promise.all(
    stores.map(
      (store) =>
        new Promise<readonly unknown[]>((resolve, reject) => {
          const request = database.transaction(store).objectStore(store).getAll();
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error);
        }),
    ),
  );
  database.close();
  return Object.fromEntries(stores.map((store, index) => [store, rows[index] ?? []]));
}

async function putRows(name: string, store: string, rows: readonly unknown[], key?: string): Promise<void> {
  const database = await rawOpen(name);
  const transaction = database.transaction(store, 'readwrite');
  for (const row of rows) transaction.objectStore(store).put(row, key);
  await new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error);
  });
  database.close();
}

export type LedgerPage = typeof ledgerPage;

declare global {
  interface Window {
    ledgerPage: LedgerPage;
    /** Set by the test. */
    saidMade: (id: string) => Promise<void>;
  }
}

window.ledgerPage = ledgerPage;

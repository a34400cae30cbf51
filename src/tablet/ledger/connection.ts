/**
 * The one connection of a window to its store, and the transactions over it.
 *
 * 1. At most one request to open is under way, whoever waits for it.
 * 2. Nobody waits for ever: opening, and each transaction, has a time limit.
 * 3. An older window gives way at once to one that wants to change the store, and opens again after it.
 * 4. A transaction resolves only when it has completed, with strict durability; when its work throws it is aborted.
 * 5. What a fresh connection may cure is tried once more over a fresh connection.
 *
 * The work of a transaction may await nothing but the transaction's own requests: it closes by itself otherwise.
 */
import { type IDBPTransaction, openDB, type StoreNames } from 'idb';
import { LedgerFailure, type LedgerTrouble } from './ledger.ts';
import { type Database, type LedgerSchema, MIGRATIONS, type Migration } from './migrations.ts';
import { failureFrom, maybeCuredByReopening } from './trouble.ts';

export interface Limits {
  readonly openMs: number;
  /** How long an old window may take to close once it has been told to. */
  readonly giveWayMs: number;
  readonly transactionMs: number;
}

export const LIMITS: Limits = { openMs: 10_000, giveWayMs: 2_000, transactionMs: 5_000 };

export type Stores = readonly StoreNames<LedgerSchema>[];
export type Work<Names extends Stores, Mode extends IDBTransactionMode, T> = (
  transaction: IDBPTransaction<LedgerSchema, Names, Mode>,
) => Promise<T>;

interface Opening {
  readonly database: Promise<Database>;
  /** Resolves when an old window is in the way. */
  readonly blocked: Promise<void>;
}

export class Connection {
  readonly #name: string;
  readonly #migrations: readonly Migration[];
  readonly #limits: Limits;
  #opening: Opening | null = null;
  #closed = false;

  constructor(name: string, limits: Limits = LIMITS, migrations = MIGRATIONS) {
    this.#name = name;
    this.#limits = limits;
    this.#migrations = migrations;
  }

  read<Names extends Stores, T>(stores: Names, work: Work<Names, 'readonly', T>): Promise<T> {
    return this.#withRetry(() => this.#transact(stores, 'readonly', work));
  }

  write<Names extends Stores, T>(stores: Names, work: Work<Names, 'readwrite', T>): Promise<T> {
    return this.#withRetry(() => this.#transact(stores, 'readwrite', work));
  }

  close(): void {
    this.#closed = true;
    this.#drop();
  }

  async #withRetry<T>(once: () => Promise<T>): Promise<T> {
    try {
      return await once();
    } catch (cause) {
      if (this.#closed || !maybeCuredByReopening(cause)) throw failureFrom(cause, 'working');
    }
    this.#drop();
    try {
      return await once();
    } catch (cause) {
      throw failureFrom(cause, 'working');
    }
  }

  async #transact<Names extends Stores, Mode extends IDBTransactionMode, T>(
    stores: Names,
    mode: Mode,
    work: Work<Names, Mode, T>,
  ): Promise<T> {
    const database = await this.#database();
    const transaction = database.transaction(stores, mode, { durability: 'strict' });
    let abortedHere = false;
    const abort = () => {
      try {
        transaction.abort();
        abortedHere = true;
      } catch {
        // It has ended already; `done` tells how.
      }
    };
    const worked = work(transaction).catch((cause: unknown) => {
      abort();
      throw cause;
    });
    const ended = Promise.allSettled([worked, transaction.done]);
    const [result, done] = await within(this.#limits.transactionMs, 'stuck', ended).catch(
      (cause: unknown) => {
        abort();
        this.#drop();
        throw cause;
      },
    );
    // Where the browser aborted, the requests only say that it did; the transaction says why.
    if (result.status === 'rejected' && (abortedHere || done.status === 'fulfilled')) throw result.reason;
    if (done.status === 'rejected') throw done.reason;
    if (result.status === 'rejected') throw result.reason;
    return result.value;
  }

  async #database(): Promise<Database> {
    if (this.#closed) throw new LedgerFailure('lost-connection');
    const opening = this.#opening ?? this.#ask();
    this.#opening = opening;
    // Each who asks gives the old window its time to close: it may just have done so.
    const inTheWay = opening.blocked.then(() =>
      within(this.#limits.giveWayMs, 'blocked-by-old-window', opening.database),
    );
    try {
      return await within(this.#limits.openMs, 'stuck', Promise.race([opening.database, inTheWay]));
    } catch (cause) {
      throw failureFrom(cause, 'opening');
    }
  }

  #ask(): Opening {
    let onBlocked: () => void = () => undefined;
    const blocked = new Promise<void>((resolve) => {
      onBlocked = resolve;
    });
    const database = this.#open(onBlocked);
    const opening: Opening = { database, blocked };
    database.then(
      (opened) => {
        if (this.#closed || this.#opening !== opening) opened.close();
      },
      () => {
        if (this.#opening === opening) this.#opening = null;
      },
    );
    return opening;
  }

  async #open(onBlocked: () => void): Promise<Database> {
    const version = this.#migrations.length;
    const migrations = this.#migrations;
    const giveWay = () => this.#drop();
    try {
      return await openDB<LedgerSchema>(this.#name, version, {
        upgrade(database, from, _to, transaction) {
          for (const migrate of migrations.slice(from)) migrate(database, transaction);
        },
        blocked: onBlocked,
        blocking: giveWay,
        terminated: giveWay,
      });
    } catch (cause) {
      // A newer app has added to the store; what this one knows of it is still there.
      if (!(cause instanceof DOMException) || cause.name !== 'VersionError') throw cause;
      return openDB<LedgerSchema>(this.#name, undefined, { blocking: giveWay, terminated: giveWay });
    }
  }

  /** Transactions under way still end: closing waits for them. */
  #drop(): void {
    const opening = this.#opening;
    this.#opening = null;
    opening?.database.then(
      (database) => database.close(),
      () => undefined,
    );
  }
}

function within<T>(ms: number, trouble: LedgerTrouble, awaited: Promise<T>): Promise<T> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new LedgerFailure(trouble)), ms);
  });
  return Promise.race([awaited, late]).finally(() => clearTimeout(timer));
}

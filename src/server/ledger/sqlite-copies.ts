/** Copies of a ledger in SQLite, by its online backup interface: one file, the same on every machine. */
import {
  closeSync,
  constants,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { openSqliteLedger } from './sqlite.ts';
import type { OpenCopy, StoreCopies } from './store-copies.ts';
import { StoreFault } from './store-fault.ts';

/** All at once: between two steps another process may write, and the copying would begin again and again. */
const PAGES_AT_ONCE = 0x7fff_ffff;

export class SqliteCopies implements StoreCopies {
  readonly #file: string;

  /** @param file the ledger's own */
  constructor(file: string) {
    this.#file = file;
  }

  async take(file: string): Promise<void> {
    if (!existsSync(this.#file)) throw new StoreFault(`There is no ledger at ${this.#file}.`);
    const database = new Database(this.#file, { readonly: true });
    try {
      await database.backup(file, { progress: () => PAGES_AT_ONCE });
    } finally {
      database.close();
    }
    asOneFile(file);
    assertSound(file);
    keep(file);
  }

  async open(file: string): Promise<OpenCopy> {
    assertSound(file);
    // Beside it, so that what is kept stays as it was written.
    const looking = `${file}.looking`;
    copyFileSync(file, looking);
    const ledger = await openSqliteLedger(looking);
    return {
      ledger,
      close: async () => {
        await ledger.close();
        for (const ending of ['', '-wal', '-shm']) rmSync(looking + ending, { force: true });
      },
    };
  }

  async putBack(file: string, replacing: boolean): Promise<void> {
    assertSound(file);
    mkdirSync(dirname(this.#file), { recursive: true, mode: 0o700 });
    const coming = `${this.#file}.coming`;
    copyFileSync(file, coming);
    if (existsSync(this.#file)) {
      if (!replacing) {
        rmSync(coming);
        throw new StoreFault(`There is a ledger at ${this.#file}. Say --replace to set it aside.`);
      }
      assertNobodyElse(this.#file);
      renameSync(this.#file, `${this.#file}.replaced-${new Date().toISOString().replaceAll(':', '')}`);
    }
    keep(coming);
    renameSync(coming, this.#file);
    keep(this.#file);
  }
}

/** Out of WAL mode, so that whoever looks into it leaves no other files beside it. */
function asOneFile(file: string): void {
  const database = new Database(file);
  database.pragma('journal_mode = DELETE');
  database.close();
}

/** @throws StoreFault where the file is no database, or not a whole one */
function assertSound(file: string): void {
  if (!existsSync(file)) throw new StoreFault(`There is no file ${file}.`);
  const database = new Database(file, { readonly: true });
  try {
    const found = database.pragma('integrity_check', { simple: true });
    const ledger = database.prepare(`select 1 from sqlite_master where name = 'records'`).get();
    if (found !== 'ok' || ledger === undefined) throw new StoreFault(`${file} is no whole ledger: ${found}`);
  } catch (cause) {
    if (!(cause instanceof Database.SqliteError)) throw cause;
    throw new StoreFault(`${file} is no whole ledger: ${cause.message}`, { cause });
  } finally {
    database.close();
  }
}

/** To leave WAL mode a connection must be the only one, and it leaves all that was written in the one file. */
function assertNobodyElse(file: string): void {
  const database = new Database(file, { timeout: 0 });
  try {
    database.pragma('journal_mode = DELETE');
  } catch (cause) {
    if (!(cause instanceof Database.SqliteError)) throw cause;
    throw new StoreFault('A server still has the ledger open. Stop it first.', { cause });
  } finally {
    database.close();
  }
}

/** On the disk, and so is the folder's entry for it. */
function keep(file: string): void {
  for (const path of [file, dirname(file)]) {
    const handle = openSync(path, constants.O_RDONLY);
    fsyncSync(handle);
    closeSync(handle);
  }
}

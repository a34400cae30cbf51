/** Copies of a ledger in PostgreSQL, by the programs that come with it: `pg_dump` and `pg_restore`. */
import { spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { closeSync, constants, fsyncSync, openSync } from 'node:fs';
import { openPostgresLedger } from './postgres.ts';
import { placeOf, withClient } from './postgres-connection.ts';
import type { OpenCopy, StoreCopies } from './store-copies.ts';
import { StoreFault } from './store-fault.ts';

export class PostgresCopies implements StoreCopies {
  readonly #url: string;

  constructor(url: string) {
    this.#url = url;
  }

  async take(file: string): Promise<void> {
    runOn(this.#url, 'pg_dump', ['--format=custom', '--no-owner', '--no-privileges', `--file=${file}`]);
    const handle = openSync(file, constants.O_RDONLY);
    fsyncSync(handle);
    closeSync(handle);
  }

  /** In a new database beside the ledger's, which the role must be allowed to make. */
  async open(file: string): Promise<OpenCopy> {
    const name = `waxend_look_${randomBytes(6).toString('hex')}`;
    const beside = new URL(this.#url);
    beside.pathname = `/${name}`;
    await this.#run(`create database ${name} template template0 encoding 'UTF8'`);
    const drop = () => this.#run(`drop database ${name} with (force)`);
    try {
      runOn(beside.href, 'pg_restore', restoring(file));
      const ledger = await openPostgresLedger(beside.href, 'waxend office');
      return {
        ledger,
        close: async () => {
          await ledger.close();
          await drop();
        },
      };
    } catch (cause) {
      await drop();
      throw cause;
    }
  }

  async putBack(file: string, replacing: boolean): Promise<void> {
    const [standing] = await this.#run(`select to_regclass('sites') is not null as "isThere",
      (select count(*) from pg_stat_activity
       where datname = current_database() and application_name = 'waxend server') as servers`);
    if (standing?.isThere === true && !replacing) {
      throw new StoreFault(
        `There is a ledger in ${placeOf(this.#url)}. Say --replace to put this one in its place.`,
      );
    }
    if (Number(standing?.servers) > 0) {
      throw new StoreFault('Servers still have the ledger open. Stop them first.');
    }
    runOn(this.#url, 'pg_restore', [...restoring(file), ...(replacing ? ['--clean', '--if-exists'] : [])]);
  }

  async #run(sql: string): Promise<readonly Record<string, unknown>[]> {
    return withClient(this.#url, 'waxend office', async (client) => (await client.query(sql)).rows);
  }
}

/** All of it or nothing. */
function restoring(file: string): readonly string[] {
  return ['--exit-on-error', '--single-transaction', '--no-owner', '--no-privileges', file];
}

/** @throws StoreFault with what the program said when it does not end well */
function runOn(url: string, program: string, args: readonly string[]): void {
  const address = new URL(url);
  // Not among the arguments, which everybody on the machine can read.
  const password = decodeURIComponent(address.password);
  address.password = '';
  const env = { ...process.env, ...(password === '' ? {} : { PGPASSWORD: password }) };
  const { status, error, stderr } = spawnSync(program, [`--dbname=${address.href}`, ...args], {
    env,
    stdio: ['ignore', 'ignore', 'pipe'],
    encoding: 'utf8',
  });
  if (status === 0) return;
  const missing = error !== undefined && 'code' in error && error.code === 'ENOENT';
  if (missing)
    throw new StoreFault(`${program} is not here. It comes with PostgreSQL (Debian: postgresql-client).`);
  throw new StoreFault(`${program}: ${error?.message ?? stderr.trim()}`);
}

/**
 * A real PostgreSQL for tests. `npm test` starts one for the whole run and names it in WAXEND_TEST_POSTGRES; a test
 * file that is run by itself starts its own. Where there is none, `postgres` is null and its tests are skipped.
 */
import { randomBytes } from 'node:crypto';
import { afterAll } from 'vitest';
import { withClient } from '../../src/server/ledger/postgres-connection.ts';
import { type PostgresCluster, postgresPrograms, startPostgres } from './postgres-cluster.ts';

export interface TestPostgres {
  /** A new and empty database, and its address. */
  database(): Promise<string>;
  /** Runs a statement as the one who may do anything. */
  run(sql: string, url?: string): Promise<readonly Record<string, unknown>[]>;
}

/** For this test file; call it at the file's top. */
export function postgresForTests(): TestPostgres | null {
  const shared = process.env.WAXEND_TEST_POSTGRES;
  if (shared === 'none') return null;
  if (shared !== undefined && shared !== '') return testPostgres(shared);
  const programs = postgresPrograms();
  if (programs === null) return null;
  const cluster: PostgresCluster = startPostgres(programs);
  afterAll(() => cluster.stop());
  return testPostgres(cluster.url());
}

export function testPostgres(home: string): TestPostgres {
  const run: TestPostgres['run'] = async (sql, url = home) =>
    withClient(url, 'waxend office', async (client) => (await client.query(sql)).rows);
  return {
    run,
    async database() {
      const name = `t_${randomBytes(6).toString('hex')}`;
      // Sorted as in English where it can be: what we sort by bytes must not lean on how a database happens to sort.
      await run(`create database ${name} template template0 locale_provider icu icu_locale 'en'`).catch(() =>
        run(`create database ${name} template template0`),
      );
      const url = new URL(home);
      url.pathname = `/${name}`;
      return url.href;
    },
  };
}

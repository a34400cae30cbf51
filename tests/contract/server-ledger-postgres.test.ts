/** The server's ledger in a real PostgreSQL: the contract's cases, and what only several processes can show. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { describe, expect, test } from 'vitest';
import { asBenchId } from '../../src/domain/ids.ts';
import { openPostgresLedger } from '../../src/server/ledger/postgres.ts';
import { wholeNumber } from '../../src/server/ledger/postgres-connection.ts';
import { handAt, MONDAY_8, SITE } from '../support/builders.ts';
import { postgresForTests } from '../support/postgres.ts';
import { postgresPrograms, startPostgres } from '../support/postgres-cluster.ts';
import { newSiteOf } from '../support/server.ts';
import { LASTING_LEDGER_CASES, SERVER_LEDGER_CASES } from './server-ledger.ts';

const postgres = postgresForTests();
const database = async () => {
  if (postgres === null) throw new Error('there is no PostgreSQL');
  return postgres.database();
};
const run = async (sql: string, url?: string) => postgres?.run(sql, url) ?? [];

describe.skipIf(postgres === null)('PostgreSQL', () => {
  for (const { name, run } of SERVER_LEDGER_CASES) {
    test(name, async () => {
      const ledger = await openPostgresLedger(await database());
      await run(ledger);
      await ledger.close();
    });
  }
});

describe.skipIf(postgres === null)('PostgreSQL that lasts', () => {
  for (const { name, run } of LASTING_LEDGER_CASES) {
    test(name, async () => {
      const url = await database();
      await run(() => openPostgresLedger(url));
    });
  }

  test('eight servers that start at once on an empty database all find it whole', async () => {
    const url = await database();
    const ledgers = await Promise.all(Array.from({ length: 8 }, () => openPostgresLedger(url)));
    expect(await Promise.all(ledgers.map((ledger) => ledger.sites()))).toEqual(ledgers.map(() => []));
    await Promise.all(ledgers.map((ledger) => ledger.close()));
  });
});

describe.skipIf(postgres === null)('what is confirmed is on the disk, or the server does not start', () => {
  test.each(['synchronous_commit'])('%s off for the database is refused by its name', async (setting) => {
    const url = await database();
    await run(`alter database ${new URL(url).pathname.slice(1)} set ${setting} = off`);
    await expect(openPostgresLedger(url)).rejects.toThrow(`PostgreSQL has ${setting} = off`);
  });

  test('synchronous_commit off for one role is found out too', async () => {
    const url = new URL(await database());
    await run('create role hasty superuser login');
    await run('alter role hasty set synchronous_commit = off');
    url.username = 'hasty';
    await expect(openPostgresLedger(url.href)).rejects.toThrow('synchronous_commit = off');
  });

  test('fsync off is refused by its name', async () => {
    const programs = postgresPrograms();
    if (programs === null) throw new Error('there is no PostgreSQL');
    // One of its own: the setting is for all of its databases.
    const hasty = startPostgres(programs, ['fsync = off']);
    try {
      await expect(openPostgresLedger(hasty.url())).rejects.toThrow('PostgreSQL has fsync = off');
    } finally {
      hasty.stop();
    }
  });

  test('a database in another encoding is refused', async () => {
    const name = `latin_${Date.now()}`;
    await run(`create database ${name} template template0 encoding 'LATIN1' locale 'C'`);
    const url = new URL(await database());
    url.pathname = `/${name}`;
    await expect(openPostgresLedger(url.href)).rejects.toThrow('encoding LATIN1');
  });

  test('a database that is not there is told with its place and without its password', async () => {
    const url = new URL(await database());
    url.pathname = '/nowhere';
    url.password = 'opensesame';
    const refusal = openPostgresLedger(url.href);
    await expect(refusal).rejects.toThrow('PostgreSQL nowhere at');
    await expect(refusal).rejects.not.toThrow('opensesame');
  });
});

test('a number that cannot be counted with is no number', () => {
  expect(wholeNumber('9007199254740991')).toBe(Number.MAX_SAFE_INTEGER);
  expect(() => wholeNumber('9007199254740993')).toThrow(RangeError);
});

describe.skipIf(postgres === null)('processes', () => {
  const WRITER = new URL('../support/ledger-writer.ts', import.meta.url).pathname;

  test('three processes write into one database: positions have no gap and nothing is missing', async () => {
    const url = await database();
    const ledger = await openPostgresLedger(url);
    await ledger.createSite(newSiteOf());
    const ends = await Promise.all(
      ['b-1', 'b-2', 'b-3'].map(async (bench) => {
        const writer = spawn(process.execPath, ['--import', 'tsx', WRITER, url, bench, '60'], {
          stdio: ['ignore', 'ignore', 'inherit'],
        });
        return (await once(writer, 'exit'))[0];
      }),
    );
    expect(ends).toEqual([0, 0, 0]);
    const held = await ledger.read(SITE, 0, 1_000);
    expect(held.map(({ pos }) => pos)).toEqual(Array.from({ length: 180 }, (_, index) => index + 1));
    expect(await ledger.sequenceFaults(SITE)).toEqual([]);
    await ledger.close();
  });

  test('sessions killed cost an append each at most, and then all is as before', async () => {
    const url = await database();
    const ledger = await openPostgresLedger(url);
    await ledger.createSite(newSiteOf());
    const bench = asBenchId('b-1');
    const hand = handAt(bench);
    const writer = { site: SITE, bench, place: 'bench' as const };
    const append = () => ledger.append(writer, [hand.write('badged-on')], MONDAY_8);
    await append();
    const name = new URL(url).pathname.slice(1);
    await run(`select pg_terminate_backend(pid) from pg_stat_activity where datname = '${name}'`);
    // Each of the pool's connections may be found dead once: a tablet sends again.
    let failed = 0;
    const again = async (): Promise<string | undefined> => {
      try {
        return (await append())[0]?.answer;
      } catch {
        failed += 1;
        return failed <= 10 ? again() : 'failed for good';
      }
    };
    expect(await again()).toBe('stored');
    expect(await again()).toBe('stored');
    await ledger.close();
  });
});

/** Two real server processes over one PostgreSQL: what is pushed at one is heard live at the other. */
import { EventSourceParserStream } from 'eventsource-parser/stream';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { asSiteId } from '../../src/domain/ids.ts';
import { openPostgresLedger } from '../../src/server/ledger/postgres.ts';
import type { SqlLedger } from '../../src/server/ledger/sql-ledger.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { type Hand, handAt } from '../support/builders.ts';
import { postgresForTests } from '../support/postgres.ts';
import { enrolAt, type ServerProcess, startServer } from '../support/server-process.ts';

/** Well below the 15 seconds after which a stream looks by itself. */
const LIVE_MS = 8_000;

const postgres = postgresForTests();

describe.skipIf(postgres === null)('two server processes over one PostgreSQL', () => {
  let url = '';
  let ledger: SqlLedger;
  let servers: readonly [ServerProcess, ServerProcess];
  let tablet: { readonly authorization: string; readonly hand: Hand };

  beforeAll(async () => {
    if (postgres === null) return;
    url = await postgres.database();
    // At once, and on an empty database: one of them makes the tables, one of them makes the site.
    const environment = { DATABASE_URL: url };
    servers = await Promise.all([startServer({ environment }), startServer({ environment })]);
    ledger = await openPostgresLedger(url, 'waxend office');
    const { authorization, bench } = await enrolAt(servers[0].url, ledger, { name: 'Welting' });
    tablet = { authorization, hand: handAt(bench) };
  });
  afterAll(async () => {
    await ledger?.close();
    for (const server of servers ?? []) await server.end('SIGKILL');
  });

  const push = async (to: ServerProcess) => {
    const record = tablet.hand.write('badged-on');
    const response = await fetch(`${to.url}/api/push`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: tablet.authorization },
      body: JSON.stringify({ records: [record] }),
    });
    expect(response.status).toBe(200);
    return record;
  };

  /** A live stream, which says the head at once. */
  async function listen(to: ServerProcess) {
    const leaving = new AbortController();
    const { authorization } = tablet;
    const response = await fetch(`${to.url}/api/live`, {
      headers: { authorization },
      signal: leaving.signal,
    });
    const events = response.body
      ?.pipeThrough(new TextDecoderStream())
      .pipeThrough(new EventSourceParserStream());
    const reader = events?.getReader();
    const next = async () => (await reader?.read())?.value?.data;
    const head = await next();
    return { head, next, leave: () => leaving.abort() };
  }

  async function heardWithin(ms: number, heard: Promise<string | undefined>): Promise<string | undefined> {
    return Promise.race([heard, new Promise<undefined>((resolve) => setTimeout(resolve, ms))]);
  }

  test('one site stands in the database, and both processes know it', async () => {
    expect(await ledger.sites()).toEqual([asSiteId('aldermoor')]);
    for (const server of servers) expect((await fetch(`${server.url}/api/health`)).status).toBe(200);
  });

  test('what is pushed at one is heard at the other, both ways', async () => {
    for (const [at, other] of [servers, servers.toReversed()] as [ServerProcess, ServerProcess][]) {
      const stream = await listen(other);
      const heard = stream.next();
      await push(at);
      const head = await heardWithin(LIVE_MS, heard);
      expect(head).toBeDefined();
      expect(head).not.toBe(stream.head);
      stream.leave();
    }
  });

  test('with the connections for news cut, they come back, and what was said meanwhile is heard', async () => {
    const stream = await listen(servers[1]);
    const heard = stream.next();
    await postgres?.run(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where datname = '${new URL(url).pathname.slice(1)}' and application_name = 'waxend server'`,
    );
    // The server's other connections are cut too, and each may be found dead once; a tablet sends again.
    let pushed = false;
    for (let tries = 0; tries < 12 && !pushed; tries += 1) {
      pushed = await push(servers[0]).then(
        () => true,
        () => false,
      );
    }
    expect(pushed).toBe(true);
    expect(await heardWithin(LIVE_MS, heard)).toBeDefined();
    stream.leave();
    expect(servers[1].said()).toContain('news-interrupted');
  });

  test('a tablet may ask now one, now the other: cursors, keys and records are the same', async () => {
    const records = [await push(servers[0]), await push(servers[1]), await push(servers[0])];
    const pulled = await Promise.all(
      servers.map(async (server) => {
        const { authorization } = tablet;
        const response = await fetch(`${server.url}/api/pull`, { headers: { authorization } });
        const { state: _, ...rest } = pullAnswerSchema.parse(await response.json());
        return rest;
      }),
    );
    expect(pulled[0]).toEqual(pulled[1]);
    expect(pulled[0]?.records.slice(-3).map(({ record }) => record)).toEqual(records);
  });

  test('one killed, the other goes on with what was confirmed by either', async () => {
    const record = await push(servers[0]);
    await servers[0].end('SIGKILL');
    const stream = await listen(servers[1]);
    const heard = stream.next();
    await push(servers[1]);
    expect(await heardWithin(LIVE_MS, heard)).toBeDefined();
    stream.leave();
    const { authorization } = tablet;
    const response = await fetch(`${servers[1].url}/api/pull`, { headers: { authorization } });
    const { records } = pullAnswerSchema.parse(await response.json());
    expect(records.map((one) => one.record)).toContainEqual(record);
    expect(await servers[1].end('SIGTERM')).toBe(0);
  });
});

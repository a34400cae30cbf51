/** A disk that is full, takes nothing or was read-only from the start: nothing is confirmed that is not held. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, test } from 'vitest';
import { prng } from '../../demo-data/prng.ts';
import { openLedger, type Store } from '../../src/server/ledger/open-ledger.ts';
import { postgresForTests } from '../support/postgres.ts';
import { enrolAt, refusedStart, type ServerProcess, startServer } from '../support/server-process.ts';
import { accountOf, broken } from './account.ts';
import { Follower } from './follower.ts';
import { Pusher } from './pusher.ts';
import { hasQuota, quota, smallDisk } from './small-disk.ts';

const BATCHES_MAX = 600;
const PATIENCE = { timeout: 120_000 };
const postgres = postgresForTests();
const disk = smallDisk(1);
disk?.close();

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const clean of cleanUps.splice(0).toReversed()) await clean();
});

async function begun(environment: Record<string, string>, store: Store) {
  const server = await startServer({ environment });
  cleanUps.push(() => server.end('SIGKILL'));
  const ledger = await openLedger(store, 'waxend office');
  const tablet = await enrolAt(server.url, ledger, { name: 'Welting' });
  await ledger.close();
  return { server, tablet, pusher: new Pusher(tablet, prng(11), () => server.url) };
}

/** Sends until the server says that it cannot, and gives back what it would not take. */
async function sendUntilRefused(pusher: Pusher) {
  for (let sent = 0; sent < BATCHES_MAX; sent += 1) {
    const batch = pusher.batch(60);
    if (!(await pusher.send(batch))) return batch;
  }
  throw new Error('the disk did not fill up');
}

/** Everything confirmed is there, once, and read by cursor from the server as it is now. */
async function expectWhole(server: ServerProcess, authorization: string, pusher: Pusher): Promise<number> {
  const follower = new Follower(authorization, () => server.url);
  await follower.stop();
  const account = accountOf([pusher], follower);
  expect(broken(account)).toEqual([]);
  expect(account.found).toBe(pusher.acknowledged.size);
  return follower.came.size;
}

function inFolder(folder: string) {
  return {
    environment: { WAXEND_DATA: folder },
    store: { is: 'sqlite', file: join(folder, 'ledger.sqlite') } as const,
  };
}

function expectSound(file: string): void {
  const database = new Database(file, { readonly: true });
  expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
  database.close();
}

describe.skipIf(disk === null)('a disk that fills up', PATIENCE, () => {
  // The smaller one fills while the journal grows, the larger one while the journal is written back.
  test.each([3, 9])(
    'of %d MB: it says so, keeps what it confirmed, and goes on when there is room',
    async (size) => {
      const small = smallDisk(size);
      if (small === null) throw new Error('nothing can be mounted');
      cleanUps.push(() => small.close());
      const { environment, store } = inFolder(small.folder);
      const { server, tablet, pusher } = await begun(environment, store);
      const refused = await sendUntilRefused(pusher);
      expect(pusher.serverFaults).toBe(1);
      expect(await pusher.send(refused)).toBe(false);
      expect(pusher.unanswered).toBe(0);
      expect(server.said()).toContain('server-fault');
      expect(await expectWhole(server, tablet.authorization, pusher)).toBe(pusher.acknowledged.size);

      small.enlarge(64);
      expect(await pusher.send(refused)).toBe(true);
      await expectWhole(server, tablet.authorization, pusher);
      expect(await server.end('SIGTERM')).toBe(0);
      expectSound(store.file);
    },
  );

  test('killed while the disk is full, it starts again and has what it confirmed', async () => {
    const small = smallDisk(3);
    if (small === null) throw new Error('nothing can be mounted');
    cleanUps.push(() => small.close());
    const { environment, store } = inFolder(small.folder);
    const { server, tablet, pusher } = await begun(environment, store);
    await sendUntilRefused(pusher);
    await server.end('SIGKILL');
    small.enlarge(64);
    const again = await startServer({ environment });
    cleanUps.push(() => again.end('SIGKILL'));
    await expectWhole(again, tablet.authorization, pusher);
  });
});

describe('a disk that takes nothing', PATIENCE, () => {
  test.skipIf(!hasQuota)(
    'while it runs: it says so, still answers what is asked, and goes on afterwards',
    async () => {
      const folder = mkdtempSync(join(tmpdir(), 'waxend-quota-'));
      cleanUps.push(() => rmSync(folder, { recursive: true, force: true }));
      const { environment, store } = inFolder(folder);
      const { server, tablet, pusher } = await begun(environment, store);
      expect(await pusher.send(pusher.batch(40))).toBe(true);
      quota(server.pid, 0);
      const refused = pusher.batch(40);
      for (let tries = 0; tries < 3; tries += 1) expect(await pusher.send(refused)).toBe(false);
      expect(pusher.serverFaults).toBe(3);
      expect(await expectWhole(server, tablet.authorization, pusher)).toBe(40);
      quota(server.pid, null);
      expect(await pusher.send(refused)).toBe(true);
      expect(await expectWhole(server, tablet.authorization, pusher)).toBe(80);
      await server.end('SIGKILL');
      expectSound(store.file);
    },
  );

  test.skipIf(disk === null)('read-only from the start: it says which file, and ends', async () => {
    const small = smallDisk(9);
    if (small === null) throw new Error('nothing can be mounted');
    cleanUps.push(() => small.close());
    const { environment, store } = inFolder(small.folder);
    const { server, tablet, pusher } = await begun(environment, store);
    expect(await pusher.send(pusher.batch(40))).toBe(true);
    await server.end('SIGKILL');
    small.readOnly(true);
    const { exitCode, says } = await refusedStart({ environment });
    expect(exitCode).toBe(2);
    expect(says).toContain(`${store.file} cannot be used as a ledger`);
    small.readOnly(false);
    const again = await startServer({ environment });
    cleanUps.push(() => again.end('SIGKILL'));
    expect(await expectWhole(again, tablet.authorization, pusher)).toBe(40);
  });
});

describe.skipIf(postgres === null)('a PostgreSQL that turns read-only', PATIENCE, () => {
  test('the server says so, still answers what is asked, and goes on afterwards', async () => {
    if (postgres === null) return;
    const url = await postgres.database();
    const name = new URL(url).pathname.slice(1);
    const { server, tablet, pusher } = await begun({ DATABASE_URL: url }, { is: 'postgres', url });
    expect(await pusher.send(pusher.batch(40))).toBe(true);
    const turn = async (setting: string) => {
      await postgres.run(`alter database ${name} ${setting}`);
      await postgres.run(
        `select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'waxend server' and datname = '${name}'`,
      );
    };
    await turn('set default_transaction_read_only = on');
    const refused = pusher.batch(40);
    for (let tries = 0; tries < 12; tries += 1) expect(await pusher.send(refused)).toBe(false);
    expect(await expectWhole(server, tablet.authorization, pusher)).toBe(40);
    expect(server.said()).toContain('read-only transaction');
    await turn('reset default_transaction_read_only');
    for (let tries = 0; tries < 12 && !(await pusher.send(refused)); tries += 1);
    expect(await expectWhole(server, tablet.authorization, pusher)).toBe(80);
  });
});

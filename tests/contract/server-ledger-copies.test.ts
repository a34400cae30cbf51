/** Backup while a real server is written to, and restore: by the commands, on SQLite and on PostgreSQL. */
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  openSync,
  readdirSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { prng } from '../../demo-data/prng.ts';
import type { Cursor } from '../../src/domain/ids.ts';
import { backUpCommand, restoreCommand } from '../../src/server/backup/command.ts';
import { openLedger, type Store } from '../../src/server/ledger/open-ledger.ts';
import { StoreFault } from '../../src/server/ledger/store-fault.ts';
import { deskNowSchema } from '../../src/wire/desk.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { accountOf, broken } from '../kill/account.ts';
import { Follower } from '../kill/follower.ts';
import { Pusher } from '../kill/pusher.ts';
import { postgresForTests } from '../support/postgres.ts';
import { enrolAt, type ServerProcess, startServer } from '../support/server-process.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const LOAD_MS = 400;
/** Several processes begin in each test, one after the other. */
const PATIENCE_MS = 120_000;
const postgres = postgresForTests();

let folder = '';
const servers: ServerProcess[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'waxend-copies-'));
});
afterEach(async () => {
  for (const server of servers.splice(0)) await server.end('SIGKILL');
  rmSync(folder, { recursive: true });
});

type Environment = Readonly<Record<string, string>>;
interface Place {
  readonly environment: Environment;
  readonly store: Store;
}

const COMMANDS = { backup: backUpCommand, restore: restoreCommand };

/** A command in this process, which saves the second that a process of its own takes to begin. */
async function command(name: 'backup' | 'restore', { store }: Place, ...args: string[]) {
  const desk = { store, now: Date.now(), random: (bytes: number) => randomBytes(bytes) };
  return COMMANDS[name](args, desk).catch((fault: unknown) => {
    if (!(fault instanceof StoreFault)) throw fault;
    return { exitCode: 2, says: fault.message };
  });
}

/** A command as its user runs it. */
async function typed(name: 'backup' | 'restore' | 'office', { environment }: Place, ...args: string[]) {
  const child = spawn(process.execPath, ['--import', 'tsx', `src/server/cli/${name}.ts`, ...args], {
    cwd: ROOT,
    env: { ...process.env, ...environment },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let says = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (says += String(chunk)));
  const exitCode = await new Promise((resolve) => child.once('close', resolve));
  return { exitCode, says };
}

function sqlite(name: string): Place {
  const data = join(folder, name);
  return { environment: { WAXEND_DATA: data }, store: { is: 'sqlite', file: join(data, 'ledger.sqlite') } };
}

async function inPostgres(): Promise<Place> {
  if (postgres === null) throw new Error('there is no PostgreSQL');
  const url = await postgres.database();
  return { environment: { DATABASE_URL: url }, store: { is: 'postgres', url } };
}

/** A server with a tablet that pushes and a desk that looks. */
async function begun({ environment, store }: Place) {
  const server = await startServer({ environment });
  servers.push(server);
  const ledger = await openLedger(store, 'waxend office');
  const tablet = await enrolAt(server.url, ledger, { name: 'Welting' });
  const desk = await enrolAt(server.url, ledger, { name: 'Office', place: 'desk' });
  await ledger.close();
  return { server, tablet, desk, pusher: new Pusher(tablet, prng(5), () => server.url) };
}

async function deskOf(url: string, { authorization }: { readonly authorization: string }) {
  const response = await fetch(`${url}/api/desk/now`, { headers: { authorization } });
  return deskNowSchema.parse(await response.json());
}

async function pullFrom(url: string, authorization: string, after: Cursor) {
  const response = await fetch(`${url}/api/pull?after=${after}`, { headers: { authorization } });
  return pullAnswerSchema.parse(await response.json());
}

const SOURCES = [
  ['SQLite', async () => sqlite('one'), async () => sqlite('two')],
  ...(postgres === null ? [] : [['PostgreSQL', inPostgres, inPostgres] as const]),
] as const;

describe.each(SOURCES)('%s', { timeout: PATIENCE_MS }, (_, source, target) => {
  test('copied while it is written, put back elsewhere: the same figures, a new epoch, and nothing is lost', async () => {
    const from = await source();
    const { server, tablet, desk, pusher } = await begun(from);
    expect(await pusher.send(pusher.batch(100))).toBe(true);
    pusher.start();
    const file = join(folder, 'copy');
    const backedUp = await typed('backup', from, '--out', file);
    await new Promise((resolve) => setTimeout(resolve, LOAD_MS));
    await pusher.stop();
    expect(backedUp).toMatchObject({ exitCode: 0, says: expect.stringContaining('pairs folded') });
    expect([pusher.serverFaults, pusher.unanswered]).toEqual([0, 0]);
    // Of names and hashes of keys: for their owner alone.
    for (const written of [file, `${file}.figures.json`]) expect(statSync(written).mode & 0o077).toBe(0);
    expect(readdirSync(folder).filter((name) => /part|looking/.test(name))).toEqual([]);

    const to = await target();
    const restored = await typed('restore', to, '--from', file);
    expect(restored).toMatchObject({ exitCode: 0, says: expect.stringContaining('says what it said') });
    const again = await startServer({ environment: to.environment });
    servers.push(again);
    const before = await pullFrom(server.url, tablet.authorization, '' as Cursor);
    const after = await pullFrom(again.url, tablet.authorization, before.cursor);
    expect(after.fromStart).toBe(true);
    expect(after.state.dataset).toBe(before.state.dataset);
    expect(after.state.epoch).not.toBe(before.state.epoch);
    expect(after.state.heldSeq).toBeGreaterThanOrEqual(100);
    expect(after.state.heldSeq).toBeLessThan(before.state.heldSeq);

    // The tablet offers again what it holds, and the desks of both say the same.
    const rest = new Pusher(tablet, prng(5), () => again.url);
    expect(await rest.send(rest.batch(100))).toBe(true);
    while (rest.made.size < pusher.made.size) {
      rest.start();
      await rest.stop();
    }
    const follower = new Follower(tablet.authorization, () => again.url);
    await follower.stop();
    expect(broken(accountOf([pusher, rest], follower)).filter((fault) => !fault.endsWith('doubled'))).toEqual(
      [],
    );
    const [one, two] = [await deskOf(server.url, desk), await deskOf(again.url, desk)];
    expect(two.stages).toEqual(one.stages);
    expect([...two.open].length).toBe(one.open.length);
    expect(two.pairsOpen).toBe(one.pairsOpen);
  });

  test('a ledger is not put over another unless asked to, nor under a running server', async () => {
    const place = await source();
    const { server } = await begun(place);
    const file = join(folder, 'copy');
    expect(await command('backup', place, '--out', file)).toMatchObject({ exitCode: 0 });
    expect(await command('backup', place, '--out', file)).toMatchObject({ exitCode: 2 });
    const over = await command('restore', place, '--from', file);
    expect(over).toMatchObject({ exitCode: 2, says: expect.stringContaining('--replace') });
    const under = await command('restore', place, '--from', file, '--replace');
    expect(under).toMatchObject({ exitCode: 2, says: expect.stringContaining('still ha') });
    expect((await fetch(`${server.url}/api/health`)).status).toBe(200);
    expect(await server.end('SIGTERM')).toBe(0);
    expect(await command('restore', place, '--from', file, '--replace')).toMatchObject({
      exitCode: 0,
    });
    const again = await startServer({ environment: place.environment });
    servers.push(again);
    expect((await fetch(`${again.url}/api/health`)).status).toBe(200);
  });

  test('put back by other means, «office restored» begins a new epoch', async () => {
    const place = await source();
    const { server, tablet } = await begun(place);
    const before = await pullFrom(server.url, tablet.authorization, '' as Cursor);
    expect(await typed('office', place, 'restored')).toMatchObject({ exitCode: 0 });
    const after = await pullFrom(server.url, tablet.authorization, before.state.head);
    expect(after.fromStart).toBe(true);
    expect(after.state.epoch).not.toBe(before.state.epoch);
  });
});

describe('a copy that is not what it was', { timeout: PATIENCE_MS }, () => {
  async function copied() {
    const place = sqlite('one');
    const { server, pusher } = await begun(place);
    for (let sent = 0; sent < 5; sent += 1) expect(await pusher.send(pusher.batch(100))).toBe(true);
    const file = join(folder, 'copy');
    expect(await command('backup', place, '--out', file)).toMatchObject({ exitCode: 0 });
    await server.end('SIGKILL');
    return { file, to: sqlite('two') };
  }

  test('with bytes gone bad it is not put back', async () => {
    const { file, to } = await copied();
    const handle = openSync(file, 'r+');
    for (let at = 8_192; at < statSync(file).size; at += 4_096)
      writeSync(handle, Buffer.alloc(64, 0xff), 0, 64, at);
    const outcome = await command('restore', to, '--from', file);
    expect(outcome).toMatchObject({ exitCode: 2, says: expect.stringContaining('is no whole ledger') });
    expect(existsSync(join(folder, 'two', 'ledger.sqlite'))).toBe(false);
  });

  test('with a record changed or left out it is told in words', async () => {
    const { file, to } = await copied();
    const changed = join(folder, 'changed');
    copyFileSync(file, changed);
    copyFileSync(`${file}.figures.json`, `${changed}.figures.json`);
    const database = new Database(changed);
    database.exec(
      `update records set json = replace(json, '"by":"op-ines"', '"by":"op-ruth"') where pos = 7`,
    );
    database.exec('delete from records where pos = 9');
    database.close();
    const outcome = await command('restore', to, '--from', changed);
    expect(outcome).toMatchObject({ exitCode: 1, says: expect.stringContaining('aldermoor: records:') });
  });

  test('what is no ledger at all is not put back', async () => {
    const to = sqlite('two');
    const outcome = await command('restore', to, '--from', join(ROOT, 'package.json'));
    expect(outcome).toMatchObject({ exitCode: 2, says: expect.stringContaining('is no whole ledger') });
    expect(await command('restore', to, '--from', join(folder, 'nothing'))).toMatchObject({
      exitCode: 2,
    });
  });
});

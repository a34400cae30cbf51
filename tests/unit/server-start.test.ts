/** The server as a process: how it is set up, started, stopped, killed and started again. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { get } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { asSiteId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { newSite } from '../../src/server/new-site.ts';
import { settingsFrom } from '../../src/server/settings.ts';
import { changeCalendar, renewShifts, withRulesToday } from '../../src/server/shift-renewal.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { handAt, MONDAY_8 } from '../support/builders.ts';
import { json } from '../support/server.ts';

const ROOT = new URL('../..', import.meta.url).pathname;
const FIRST = {
  WAXEND_SITE: 'aldermoor',
  WAXEND_SITE_NAME: 'Aldermoor Bench',
  WAXEND_TIME_ZONE: 'Europe/London',
};

describe('settings', () => {
  test('nothing set: this machine alone, port 8787, ./data', () => {
    expect(settingsFrom({})).toEqual({
      data: './data',
      database: null,
      port: 8787,
      host: '127.0.0.1',
      site: null,
      tls: null,
    });
  });

  test('empty counts as not set', () => {
    expect(settingsFrom({ WAXEND_PORT: '', WAXEND_HOST: '', WAXEND_TLS_CERT: '' })).toEqual(settingsFrom({}));
  });

  test.each([
    [{ WAXEND_PORT: 'http' }, 'WAXEND_PORT'],
    [{ WAXEND_PORT: '70000' }, 'WAXEND_PORT'],
    [{ WAXEND_SITE: 'a site' }, 'WAXEND_SITE'],
    [{ WAXEND_TIME_ZONE: 'Europe/Aldermoor' }, 'WAXEND_TIME_ZONE: is no IANA time zone'],
    [{ DATABASE_URL: 'mysql://h/d' }, 'DATABASE_URL: is no postgres://'],
    [{ WAXEND_TLS_KEY: 'key.pem' }, 'WAXEND_TLS_CERT: goes with WAXEND_TLS_KEY'],
  ])('%j is told by the name of the variable', (environment, says) => {
    expect(() => settingsFrom(environment)).toThrow(says);
  });
});

describe('a new site', () => {
  const random = (bytes: number) => new Uint8Array(bytes).fill(7);

  test('has the catalogue’s stages, closes with the last, and nobody in it', () => {
    const { book, epoch } = newSite(
      { site: 'aldermoor', name: 'Aldermoor Bench', timeZone: 'Europe/London' },
      random,
    );
    expect(book.stages.length).toBeGreaterThan(40);
    expect(book.closingStage).toBe(book.stages.at(-1)?.code);
    expect([book.operatives, book.badges, book.benches, book.shifts]).toEqual([[], [], [], []]);
    expect(epoch).toMatch(/^[0-9a-f]{16}$/);
  });

  test('gets its shifts ahead again when they run short, and no new version while they do not', async () => {
    const ledger = await openSqliteLedger(':memory:');
    const site = asSiteId('aldermoor');
    await ledger.createSite(newSite({ site, name: 'Aldermoor Bench', timeZone: 'Europe/London' }, random));
    expect((await renewShifts(ledger, site, MONDAY_8)).version).toBe(1);
    const rule = { name: 'Day', days: [1, 2, 3, 4, 5], from: '07:00', to: '15:30', breaks: [] };
    const changed = await changeCalendar(ledger, site, MONDAY_8, (calendar) =>
      withRulesToday(calendar, 'Europe/London', MONDAY_8, () => [rule]),
    );
    expect(changed.version).toBe(2);
    expect((await renewShifts(ledger, site, MONDAY_8 + 10 * DAY_MS)).version).toBe(2);
    const renewed = await renewShifts(ledger, site, MONDAY_8 + 20 * DAY_MS);
    expect(renewed.version).toBe(3);
    expect(Number(renewed.shifts.at(-1)?.from)).toBeGreaterThan(MONDAY_8 + 75 * DAY_MS);
    await ledger.close();
  });
});

describe('the process', () => {
  let data = '';
  const children: ChildProcess[] = [];
  beforeEach(() => {
    data = mkdtempSync(join(tmpdir(), 'waxend-data-'));
  });
  afterEach(() => {
    for (const child of children.splice(0)) child.kill('SIGKILL');
    rmSync(data, { recursive: true });
  });

  function start(environment: Record<string, string> = {}) {
    const child = spawn(process.execPath, ['--import', 'tsx', 'src/server/main.ts'], {
      cwd: ROOT,
      env: { ...process.env, WAXEND_DATA: data, WAXEND_PORT: '0', ...environment },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    children.push(child);
    let said = '';
    child.stdout?.on('data', (chunk) => (said += String(chunk)));
    child.stderr?.on('data', (chunk) => (said += String(chunk)));
    const url = async () => {
      for (;;) {
        const found = /Listening at (\S+),/.exec(said)?.[1];
        if (found !== undefined) return found;
        if (child.exitCode !== null) throw new Error(said);
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    };
    const ended = async () => (child.exitCode ?? (await once(child, 'exit'))[0]) as number | null;
    return { child, url, ended, said: () => said };
  }

  const office = (...args: string[]) =>
    execFileSync(process.execPath, ['--import', 'tsx', 'src/server/cli/office.ts', ...args], {
      cwd: ROOT,
      env: { ...process.env, WAXEND_DATA: data },
      encoding: 'utf8',
    });

  test('a first start without a site says what to set, and leaves with 2', async () => {
    const { ended, said } = start();
    expect(await ended()).toBe(2);
    expect(said()).toContain('WAXEND_SITE');
  });

  test('killed in the middle, it has every record that it confirmed, and takes the same key', async () => {
    const first = start(FIRST);
    const url = await first.url();
    const said = office('add-bench', '--name', 'Welting', '--stages', 'WLT');
    const token = /Set-up code ([0-9A-Z ]+?) for/.exec(said)?.[1]?.replaceAll(' ', '') ?? '';
    const enrolled = enrolAnswerSchema.parse(
      await (await fetch(`${url}/api/enrol`, json({ token, persisted: true }))).json(),
    );
    const authorization = `Bearer ${enrolled.key}`;
    const headers = { 'content-type': 'application/json', authorization };
    const hand = handAt(enrolled.bench);
    const records = Array.from({ length: 40 }, () => hand.write('clocked-in'));
    const pushed = await fetch(`${url}/api/push`, { ...json({ records }), headers });
    expect(pushed.status).toBe(200);
    first.child.kill('SIGKILL');
    await first.ended();

    const second = start();
    const again = await second.url();
    const pulled = pullAnswerSchema.parse(
      await (await fetch(`${again}/api/pull`, { headers: { authorization } })).json(),
    );
    expect(pulled.records.map(({ record }) => record)).toEqual(records);
    second.child.kill('SIGTERM');
    expect(await second.ended()).toBe(0);
    // A ledger that was closed leaves no journal behind.
    expect(existsSync(join(data, 'ledger.sqlite-wal'))).toBe(false);
  });

  test('with a certificate it speaks TLS, and says that browsers must stay with it', async () => {
    const [cert, key] = [join(data, 'cert.pem'), join(data, 'key.pem')];
    const subject = ['-subj', '/CN=localhost', '-addext', 'subjectAltName=DNS:localhost'];
    const kind = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:P-256', '-nodes', '-days', '1'];
    execFileSync('openssl', ['req', '-x509', ...kind, ...subject, '-keyout', key, '-out', cert], {
      stdio: 'pipe',
    });
    const { url, child, ended } = start({ ...FIRST, WAXEND_TLS_CERT: cert, WAXEND_TLS_KEY: key });
    const { port } = new URL(await url());
    const headers = await new Promise<Record<string, unknown>>((resolve, reject) => {
      const options = {
        host: '127.0.0.1',
        port,
        path: '/api/health',
        servername: 'localhost',
        ca: readFileSync(cert),
      };
      get(options, (response) => {
        response.resume();
        resolve(response.headers);
      }).on('error', reject);
    });
    expect(headers['strict-transport-security']).toBe('max-age=31536000');
    child.kill('SIGINT');
    expect(await ended()).toBe(0);
  });
});

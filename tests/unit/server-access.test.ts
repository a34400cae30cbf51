/** Who may do what: keys, set-up codes, places, and the headers that hold the pages to one origin. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { codeHash } from '../../src/domain/code-hash.ts';
import { DAY_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { RecordKind } from '../../src/domain/record/kinds.ts';
import { KNOWN_KINDS } from '../../src/domain/record/reading.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { pushAnswerSchema } from '../../src/wire/push.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { handAt, RUTH, SITE, WLT } from '../support/builders.ts';
import { json, type TestServer, testServer } from '../support/server.ts';

const refusedAs = async (response: Response) => [
  response.status,
  refusalSchema.parse(await response.json()).refused,
];

const LOCKED = [
  ['GET', '/api/snapshot'],
  ['GET', '/api/pair/:pair'],
  ['POST', '/api/push'],
  ['GET', '/api/pull'],
  ['GET', '/api/site'],
  ['GET', '/api/live'],
  ['GET', '/api/desk/now'],
  ['POST', '/api/site/change'],
  ['GET', '/api/site/calendar'],
  ['POST', '/api/site/calendar'],
  ['GET', '/api/shifts'],
  ['GET', '/api/sheet'],
  ['GET', '/api/sheet/behind'],
  ['GET', '/api/sheet/look-back'],
  ['GET', '/api/forecast'],
  ['GET', '/api/read/v1/records'],
  ['GET', '/api/read/v1/pairs/:pair'],
  ['GET', '/api/read/v1/shifts'],
  ['GET', '/api/read/v1/shifts/:from/sheet'],
  ['GET', '/api/read/v1/shifts/:from/sheet.csv'],
  ['GET', '/api/read/v1/exports/records.csv'],
  ['GET', '/api/read/v1/exports/spells.csv'],
  ['GET', '/api/read/v1/exports/log.ocel.json'],
  ['GET', '/api/read/v1/exports/log.xes'],
  ['GET', '/api/read/v1/openapi.json'],
  ['POST', '/api/sheet/hands'],
  ['POST', '/api/sheet/behind'],
  ['PUT', '/api/photo/:sha256'],
  ['GET', '/api/photo/:sha256'],
] as const;

describe('a desk', () => {
  const BENCH_WORK = [
    'badged-off',
    'badged-on',
    'bench-set',
    'boxed',
    'checked',
    'clocked-in',
    'clocked-out',
    'found-here',
    'hand-joined',
    'last-taken',
    'racked',
    'reminders-shown',
    'unracked',
  ];

  test.each(['bench', 'desk'] as const)('at a %s: which kinds of record are taken', async (place) => {
    const server = await testServer();
    const { bench, push } = await server.enrol(place);
    const hand = handAt(bench, RUTH);
    const records = [...KNOWN_KINDS].map((kind) => hand.write(kind as RecordKind));
    const { answers } = pushAnswerSchema.parse(await (await push(records)).json());
    const refused = answers.flatMap(({ index, answer }) =>
      answer === 'refused' ? [records[index]?.kind ?? 'none'] : [],
    );
    // That a stage was done and nobody scanned is for a supervisor to say, at a desk too.
    expect(refused.toSorted()).toEqual(place === 'desk' ? BENCH_WORK : []);
    expect(answers.length).toBe(KNOWN_KINDS.size);
  });
});

describe('keys', () => {
  test('every route but enrolling and health asks for one', async () => {
    const { app } = await testServer();
    const routes = new Set(
      app.routes
        .filter(({ method, path }) => path.startsWith('/api/') && method !== 'ALL')
        .map(({ method, path }) => `${method} ${path}`),
    );
    expect([...routes].sort()).toEqual(
      [...LOCKED.map((route) => route.join(' ')), 'GET /api/health', 'POST /api/enrol'].sort(),
    );
  });

  test.each(LOCKED)(
    '%s %s with no key, a wrong one, or one in the address is refused',
    async (method, path) => {
      const server = await testServer();
      const bench = await server.enrol();
      const init = method === 'POST' ? json({ records: [1] }) : {};
      expect(await refusedAs(await server.fetch(path, init))).toEqual([401, 'no-key']);
      expect(await refusedAs(await server.fetch(path, { ...init, key: 'f'.repeat(64) }))).toEqual([
        401,
        'no-key',
      ]);
      expect(await refusedAs(await server.fetch(path, { ...init, key: 'short' }))).toEqual([401, 'no-key']);
      expect(await refusedAs(await server.fetch(`${path}?key=${bench.key}`, init))).toEqual([401, 'no-key']);
    },
  );

  test.each(LOCKED)('%s %s with a revoked key is refused as such', async (method, path) => {
    const server = await testServer();
    const bench = await server.enrol('desk');
    await server.ledger.revokeBench(SITE, bench.bench, server.now);
    const init = method === 'POST' ? json({ records: [1] }) : {};
    expect(await refusedAs(await server.fetch(path, { ...init, key: bench.key }))).toEqual([
      403,
      'key-revoked',
    ]);
  });

  test('a tablet that believes itself at another site is told so', async () => {
    const server = await testServer();
    const { key } = await server.enrol();
    const at = (site: string) => server.fetch('/api/site', { key, headers: { 'x-waxend-site': site } });
    expect(await refusedAs(await at('netherby'))).toEqual([403, 'wrong-site']);
    expect((await at(SITE)).status).toBe(200);
  });

  test('a bench does not see the desk’s page, a desk does and pulls', async () => {
    const server = await testServer();
    const [bench, desk] = [await server.enrol('bench'), await server.enrol('desk')];
    expect(await refusedAs(await bench.get('/api/desk/now'))).toEqual([403, 'not-allowed']);
    expect((await desk.get('/api/desk/now')).status).toBe(200);
    expect((await desk.get('/api/pull')).status).toBe(200);
  });
});

describe('set-up codes', () => {
  const TOKEN = 'W1234567890X';
  const add = (server: TestServer, uses = 1) =>
    server.ledger.addSetUpCode(SITE, {
      hash: codeHash(TOKEN),
      name: 'Welting',
      place: 'bench',
      stages: [WLT],
      until: server.now + DAY_MS,
      uses,
    });
  const show = (server: TestServer, token = TOKEN) =>
    server.fetch('/api/enrol', json({ token, persisted: null }));

  test('a code gives an identity, a key that opens, and the book', async () => {
    const server = await testServer();
    await add(server);
    const answer = enrolAnswerSchema.parse(await (await show(server)).json());
    expect(answer).toMatchObject({ site: SITE, place: 'bench', name: 'Welting', stages: [WLT], lane: 1 });
    expect(answer.book.benches.map(({ bench }) => bench)).toEqual([answer.bench]);
    expect((await server.fetch('/api/site', { key: answer.key })).status).toBe(200);
  });

  test('a code for one use is used up by it', async () => {
    const server = await testServer();
    await add(server);
    await show(server);
    expect(await refusedAs(await show(server))).toEqual([410, 'code-used']);
  });

  test('a code past its time is refused, and so is one that nobody gave', async () => {
    const server = await testServer();
    await add(server);
    server.now += DAY_MS;
    const late = await show(server);
    expect(refusalSchema.parse(await late.json())).toEqual({
      refused: 'code-used',
      reasons: ['token: is past its time'],
    });
    expect(await refusedAs(await show(server, 'W0000000000X'))).toEqual([404, 'code-unknown']);
  });

  test('guessing is slowed down, said with when to try again, and passes with time', async () => {
    const server = await testServer();
    await add(server);
    for (let guess = 0; guess < 30; guess += 1) {
      expect(await refusedAs(await show(server, `guess ${guess}`))).toEqual([404, 'code-unknown']);
    }
    const slowed = await show(server);
    expect(slowed.headers.get('retry-after')).toBe('6');
    expect(await refusedAs(slowed)).toEqual([429, 'too-many-tries']);
    server.now += MINUTE_MS;
    expect((await show(server)).status).toBe(200);
  });

  test.each([
    [{}],
    [{ token: '', persisted: null }],
    [{ token: 7, persisted: null }],
    [{ token: 'x'.repeat(65), persisted: null }],
    [[]],
  ])('enrolling with %j is refused', async (body) => {
    const server = await testServer();
    expect(await refusedAs(await server.fetch('/api/enrol', json(body)))).toEqual([400, 'bad-request']);
  });

  test('no key and no code is kept or logged as it is', async () => {
    const server = await testServer();
    await add(server);
    const { key, bench } = enrolAnswerSchema.parse(await (await show(server)).json());
    const kept = JSON.stringify([await server.ledger.benches(SITE), await server.ledger.book(SITE)]);
    expect(kept).toContain(bench);
    expect(kept).not.toContain(key);
    expect(server.logged.join()).not.toContain(key);
  });
});

describe('faults', () => {
  test('what breaks inside is logged, and told to the asker in two words', async () => {
    const server = await testServer();
    const bench = await server.enrol();
    await server.ledger.close();
    const response = await bench.get('/api/pull');
    expect(response.status).toBe(500);
    expect(await response.json()).toEqual({ refused: 'server-fault', reasons: [] });
    expect(server.logged.join()).toContain('server-fault');
    expect(server.logged.join()).not.toContain(bench.key);
    expect(await refusedAs(await server.fetch('/api/health'))).toEqual([503, 'server-fault']);
  });

  test('a server that reaches its ledger says that it is well, and nothing else', async () => {
    const server = await testServer();
    expect(await (await server.fetch('/api/health')).json()).toEqual({ well: true });
  });
});

describe('headers and pages', () => {
  let folder = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'waxend-dist-'));
    mkdirSync(join(folder, 'assets'));
    writeFileSync(join(folder, 'index.html'), '<!doctype html><title>Waxend</title>');
    writeFileSync(join(folder, 'sw.js'), 'self;');
    writeFileSync(join(folder, 'manifest.webmanifest'), '{}');
    writeFileSync(join(folder, 'assets', 'reader-0a1b.wasm'), Buffer.alloc(4_000));
    writeFileSync(join(folder, 'assets', 'main-0a1b.js'), 'x;'.repeat(2_000));
    writeFileSync(join(folder, '..', 'outside.txt'), 'not to be served');
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  const POLICY =
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; " +
    "font-src 'self'; media-src 'self' blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; " +
    "frame-ancestors 'none'; base-uri 'none'; form-action 'none'";

  test('every answer carries the policy, whatever it is', async () => {
    const server = await testServer({ config: { staticFolder: folder } });
    for (const path of [
      '/',
      '/bench',
      '/assets/main-0a1b.js',
      '/assets/none.js',
      '/api/pull',
      '/api/health',
    ]) {
      const { headers } = await server.fetch(path);
      expect(headers.get('content-security-policy')).toBe(POLICY);
      expect(headers.get('x-content-type-options')).toBe('nosniff');
      expect(headers.get('referrer-policy')).toBe('no-referrer');
      expect(headers.get('permissions-policy')).toContain('camera=(self)');
      expect(headers.get('strict-transport-security')).toBeNull();
      expect(headers.get('x-waxend-wire')).toBe('1');
    }
  });

  test('over TLS browsers are told to stay with it, and trusted types can be asked for', async () => {
    const server = await testServer({ config: { https: true, trustedTypes: true } });
    const { headers } = await server.fetch('/api/health');
    expect(headers.get('strict-transport-security')).toBe('max-age=31536000');
    expect(headers.get('content-security-policy')).toBe(`${POLICY}; require-trusted-types-for 'script'`);
  });

  test.each([
    ['/', 'text/html; charset=utf-8', 'no-cache'],
    ['/bench', 'text/html; charset=utf-8', 'no-cache'],
    ['/desk', 'text/html; charset=utf-8', 'no-cache'],
    ['/sw.js', 'text/javascript; charset=utf-8', 'no-cache'],
    ['/manifest.webmanifest', 'application/manifest+json', 'no-cache'],
    ['/assets/main-0a1b.js', 'text/javascript; charset=utf-8', 'public, max-age=31536000, immutable'],
    ['/assets/reader-0a1b.wasm', 'application/wasm', 'public, max-age=31536000, immutable'],
  ])('%s is served as %s, %s', async (path, type, cache) => {
    const server = await testServer({ config: { staticFolder: folder } });
    const response = await server.fetch(path);
    expect(response.status).toBe(200);
    expect(response.headers.get('content-type')).toBe(type);
    expect(response.headers.get('cache-control')).toBe(cache);
  });

  test('scripts and WebAssembly are packed for who takes it', async () => {
    const server = await testServer({ config: { staticFolder: folder } });
    for (const path of ['/assets/main-0a1b.js', '/assets/reader-0a1b.wasm']) {
      const response = await server.fetch(path, { headers: { 'accept-encoding': 'gzip, br' } });
      expect(response.headers.get('content-encoding')).toBe('gzip');
      await response.arrayBuffer();
    }
  });

  test.each([
    '/assets/main-ffff.js',
    '/pairs',
    '/../outside.txt',
    '/%2e%2e/outside.txt',
    '/assets/..%2f..%2foutside.txt',
    '/api/none',
    '/bench/x',
  ])('%s is not there, and no page is given in its place', async (path) => {
    const server = await testServer({ config: { staticFolder: folder } });
    expect(await refusedAs(await server.fetch(path))).toEqual([404, 'not-found']);
  });

  test('answers of the interface are kept by no cache', async () => {
    const server = await testServer();
    const bench = await server.enrol();
    expect((await bench.get('/api/site')).headers.get('cache-control')).toBe('no-store');
  });
});

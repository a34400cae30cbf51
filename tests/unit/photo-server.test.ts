/** Photographs through the server: who may put and get them, what is refused, and that the bytes come back as they went. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { request } from 'node:http';
import { afterEach, expect, test } from 'vitest';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asSiteId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { listen } from '../../src/server/serve.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { PHOTO_BYTES_MAX, photoAnswerSchema, photoTypeOf } from '../../src/wire/photo.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { EPOCH, SITE, siteBook, WLT } from '../support/builders.ts';
import { DATASET, json, newSiteOf, type TestServer, testServer } from '../support/server.ts';

/** Files that ImageMagick wrote, not we. */
const drawn = (format: string) =>
  new Uint8Array(execFileSync('convert', ['-size', '40x30', 'plasma:tomato-navy', `${format}:-`]));
const PICTURES = {
  'image/jpeg': drawn('jpg'),
  'image/png': drawn('png'),
  'image/webp': drawn('webp'),
} as const;
const JPEG = PICTURES['image/jpeg'];

const hashOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
const addressOf = (bytes: Uint8Array) => `/api/photo/${hashOf(bytes)}`;

interface Put {
  readonly key?: string;
  readonly type?: string;
  readonly at?: string;
  readonly headers?: Record<string, string>;
}

function put(server: TestServer, bytes: Uint8Array<ArrayBuffer>, told: Put = {}): Promise<Response> {
  const { key, type = 'image/jpeg', at = addressOf(bytes), headers } = told;
  return server.fetch(at, {
    method: 'PUT',
    body: bytes,
    headers: { 'content-type': type, ...headers },
    ...(key === undefined ? {} : { key }),
  });
}

const refusalOf = async (response: Response) => {
  const { refused, reasons } = refusalSchema.parse(await response.json());
  return [response.status, refused, ...reasons];
};
const bytesOf = async (response: Response) => new Uint8Array(await response.arrayBuffer());

let server: TestServer;
afterEach(() => server.ledger.close());

test.each(Object.entries(PICTURES))(
  'a photograph of type %s comes back byte for byte',
  async (type, bytes) => {
    server = await testServer();
    const [bench, desk] = [await server.enrol(), await server.enrol('desk')];
    const answer = await put(server, bytes, { type, key: bench.key });
    expect(answer.status).toBe(201);
    expect(photoAnswerSchema.parse(await answer.json())).toMatchObject({
      photo: hashOf(bytes),
      answer: 'stored',
      state: { dataset: DATASET, epoch: EPOCH },
    });
    for (const key of [bench.key, desk.key]) {
      const response = await server.fetch(addressOf(bytes), { key });
      expect(response.status).toBe(200);
      expect(response.headers.get('content-type')).toBe(type);
      expect(response.headers.get('cache-control')).toBe('private, max-age=31536000, immutable');
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
      expect(response.headers.get('content-security-policy')).toContain("default-src 'none'");
      expect(await bytesOf(response)).toEqual(bytes);
    }
  },
);

test('the same photograph twice, by whomever, is held once and confirmed twice', async () => {
  server = await testServer();
  const [one, two] = [await server.enrol(), await server.enrol('desk')];
  expect((await put(server, JPEG, { key: one.key })).status).toBe(201);
  for (const { key } of [one, two]) {
    const again = await put(server, JPEG, { key });
    expect(again.status).toBe(200);
    expect(photoAnswerSchema.parse(await again.json()).answer).toBe('had');
  }
});

test('HEAD tells what GET would and gives no body', async () => {
  server = await testServer();
  const { key } = await server.enrol();
  await put(server, JPEG, { key });
  const head = await server.fetch(addressOf(JPEG), { method: 'HEAD', key });
  expect(head.status).toBe(200);
  expect(head.headers.get('content-type')).toBe('image/jpeg');
  expect(head.headers.get('content-length')).toBe(String(JPEG.length));
  expect((await bytesOf(head)).length).toBe(0);
  const none = await server.fetch(`/api/photo/${'0'.repeat(64)}`, { method: 'HEAD', key });
  expect(none.status).toBe(404);
});

const REFUSED: readonly (readonly [string, Uint8Array<ArrayBuffer>, Put, readonly unknown[]])[] = [
  [
    'another hash than its own',
    JPEG,
    { at: `/api/photo/${'0'.repeat(64)}` },
    [400, 'bad-request', 'sha256: is not that of the body'],
  ],
  [
    'a hash in upper case',
    JPEG,
    { at: addressOf(JPEG).toUpperCase().replace('/API/PHOTO', '/api/photo') },
    [400, 'bad-request', 'sha256: is no SHA-256 in lower case'],
  ],
  [
    'no hash at all',
    JPEG,
    { at: '/api/photo/7' },
    [400, 'bad-request', 'sha256: is no SHA-256 in lower case'],
  ],
  ['a PNG that is called a JPEG', PICTURES['image/png'], {}, [400, 'bad-request', 'body: is no image/jpeg']],
  [
    'a JPEG that is called a WebP',
    JPEG,
    { type: 'image/webp' },
    [400, 'bad-request', 'body: is no image/webp'],
  ],
  [
    'a page that is called a JPEG',
    new TextEncoder().encode('<script>alert(1)</script>'),
    {},
    [400, 'bad-request', 'body: is no image/jpeg'],
  ],
  ['nothing', new Uint8Array(), {}, [400, 'bad-request', 'body: is no image/jpeg']],
  [
    'a type that is no photograph’s',
    JPEG,
    { type: 'image/svg+xml' },
    [415, 'bad-request', 'content-type: only JPEG, PNG or WebP'],
  ],
  [
    'a body that is packed',
    JPEG,
    { headers: { 'content-encoding': 'gzip' } },
    [415, 'bad-request', 'content-type: only JPEG, PNG or WebP'],
  ],
];

test.each(REFUSED)('%s is refused, and nothing is kept', async (_, bytes, told, refusal) => {
  server = await testServer();
  const { key } = await server.enrol();
  expect(await refusalOf(await put(server, bytes, { ...told, key }))).toEqual(refusal);
  expect((await server.fetch(addressOf(bytes), { key })).status).toBe(404);
  expect(server.logged).toEqual([]);
});

/** A JPEG for its first bytes, so that only its length can be what it is refused for. */
const long = (bytes: number) => {
  const body = new Uint8Array(bytes);
  body.set(JPEG.slice(0, 20));
  return body;
};

test('the longest that is taken is taken, and one byte more is refused', async () => {
  server = await testServer();
  const { key } = await server.enrol();
  expect((await put(server, long(PHOTO_BYTES_MAX), { key })).status).toBe(201);
  const refusal = [413, 'too-large', `body: has more than ${PHOTO_BYTES_MAX} bytes`];
  expect(await refusalOf(await put(server, long(PHOTO_BYTES_MAX + 1), { key }))).toEqual(refusal);
  // A length that is not what it says.
  const headers = { 'content-length': '100' };
  expect(await refusalOf(await put(server, long(PHOTO_BYTES_MAX + 1), { key, headers }))).toEqual(refusal);
});

test('over a real connection a body without a length is not read beyond the limit', async () => {
  server = await testServer();
  const { key } = await server.enrol();
  const listening = await listen(server.app, server.announcer, { host: '127.0.0.1', port: 0, tls: null });
  try {
    const chunk = long(64 * 1024);
    const status = await new Promise<number>((resolve, reject) => {
      const sending = request(
        `${listening.url}/api/photo/${'0'.repeat(64)}`,
        { method: 'PUT', headers: { authorization: `Bearer ${key}`, 'content-type': 'image/jpeg' } },
        (answer) => {
          clearInterval(timer);
          answer.resume();
          resolve(answer.statusCode ?? 0);
          sending.destroy();
        },
      );
      sending.on('error', reject);
      // It would go on for ever; only the server's answer ends it.
      const timer = setInterval(() => sending.write(chunk), 1);
    });
    expect(status).toBe(413);

    const kept = await fetch(`${listening.url}${addressOf(JPEG)}`, {
      method: 'PUT',
      body: JPEG,
      headers: { authorization: `Bearer ${key}`, 'content-type': 'image/jpeg' },
    });
    expect(kept.status).toBe(201);
    const got = await fetch(`${listening.url}${addressOf(JPEG)}`, {
      headers: { authorization: `Bearer ${key}` },
    });
    expect(got.headers.get('content-encoding')).toBeNull();
    expect(await bytesOf(got)).toEqual(JPEG);
  } finally {
    await listening.stop();
  }
});

test('no key, a wrong one, or one that was revoked neither puts nor gets', async () => {
  server = await testServer();
  const [kept, revoked] = [await server.enrol(), await server.enrol()];
  await put(server, JPEG, { key: kept.key });
  await server.ledger.revokeBench(SITE, revoked.bench, server.now);
  const get = (key?: string) => server.fetch(addressOf(JPEG), key === undefined ? {} : { key });
  for (const answer of [await put(server, JPEG), await get(), await get('f'.repeat(64))])
    expect(await refusalOf(answer)).toEqual([401, 'no-key']);
  for (const answer of [await put(server, JPEG, { key: revoked.key }), await get(revoked.key)])
    expect(await refusalOf(answer)).toEqual([403, 'key-revoked']);
});

test('a key of another site in the same database sees nothing of this one’s', async () => {
  server = await testServer();
  const here = await server.enrol();
  const elsewhere = asSiteId('netherby');
  const book = siteBook({ benches: [], site: elsewhere });
  await server.ledger.createSite({ ...newSiteOf(), book, dataset: 'dataset-of-netherby' });
  const code = { name: 'Welting', place: 'bench' as const, stages: [WLT], uses: 1 };
  const until = server.now + DAY_MS;
  await server.ledger.addSetUpCode(elsewhere, { ...code, hash: codeHash('netherby'), until });
  const enrolled = await server.fetch('/api/enrol', json({ token: 'netherby', persisted: null }));
  const { key } = enrolAnswerSchema.parse(await enrolled.json());

  await put(server, JPEG, { key: here.key });
  expect(await refusalOf(await server.fetch(addressOf(JPEG), { key }))).toEqual([404, 'not-found']);
  // Nor does it learn from putting it whether the other site has it.
  expect((await put(server, JPEG, { key })).status).toBe(201);
});

test('a bench that sends without end is told to wait', async () => {
  server = await testServer();
  const [busy, other] = [await server.enrol(), await server.enrol()];
  const statuses = [];
  for (let times = 0; times <= 300; times += 1)
    statuses.push((await put(server, JPEG, { key: busy.key })).status);
  expect(statuses.slice(1, 300).every((status) => status === 200)).toBe(true);
  expect(statuses.at(-1)).toBe(429);
  const waiting = await put(server, JPEG, { key: busy.key });
  expect(waiting.headers.get('retry-after')).toBe('2');
  expect((await put(server, JPEG, { key: other.key })).status).toBe(200);
  server.now += 2_000;
  expect((await put(server, JPEG, { key: busy.key })).status).toBe(200);
});

test('a file is what its first bytes say, however it is cut', () => {
  for (const [type, bytes] of Object.entries(PICTURES)) {
    expect(photoTypeOf(bytes.slice(0, 16))).toBe(type);
    expect(photoTypeOf(bytes.slice(0, 2))).toBeNull();
    expect(photoTypeOf(Uint8Array.of(0, ...bytes))).toBeNull();
  }
  expect(photoTypeOf(drawn('gif'))).toBeNull();
  // A sound file has the same wrapper as WebP.
  expect(photoTypeOf(new TextEncoder().encode('RIFF....WAVEfmt '))).toBeNull();
});

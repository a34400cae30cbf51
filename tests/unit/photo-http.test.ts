/** Photographs over HTTP: against the real server, and against everything else that may answer at its address. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { afterEach, describe, expect, test } from 'vitest';
import { fetchPhoto } from '../../src/tablet/photos/fetch-photo.ts';
import { photoHash } from '../../src/tablet/photos/photo-hash.ts';
import { type PhotoHttp, photoServer } from '../../src/tablet/photos/photo-server.ts';
import type { Photo } from '../../src/tablet/photos/photo-store.ts';
import { EPOCH, MONDAY_8, SITE } from '../support/builders.ts';
import { MemoryPhotos } from '../support/memory-photos.ts';
import { DATASET, type TestServer, testServer } from '../support/server.ts';

const BYTES = new Uint8Array(execFileSync('convert', ['-size', '40x30', 'plasma:tomato-navy', 'jpg:-']));
const HASH = createHash('sha256').update(BYTES).digest('hex');
const PHOTO: Photo = { photo: HASH, type: 'image/jpeg', blob: new Blob([BYTES], { type: 'image/jpeg' }) };
const NEVER = new AbortController().signal;

const httpOf = (told: Partial<PhotoHttp>): PhotoHttp => ({
  base: 'https://bench.aldermoor.example',
  key: '0'.repeat(64),
  site: SITE,
  fetch: () => Promise.reject(new TypeError('Failed to fetch')),
  now: () => MONDAY_8,
  ...told,
});
const bytesOf = async ({ blob }: Photo) => new Uint8Array(await blob.arrayBuffer());

describe('against the server that ships', () => {
  let server: TestServer;
  afterEach(() => server.ledger.close());
  async function enrolled(told: Partial<PhotoHttp> = {}) {
    server = await testServer();
    const { key, bench } = await server.enrol();
    const through: typeof fetch = async (url, init) =>
      server.app.request(new URL(url as URL).pathname, init as RequestInit);
    return { bench, server: photoServer(httpOf({ key, fetch: through, ...told })) };
  }

  test('a photograph goes, goes again, and comes back as it went', async () => {
    const { server } = await enrolled();
    const taken = { is: 'taken', dataset: DATASET, epoch: EPOCH };
    expect(await server.put(PHOTO, NEVER)).toEqual(taken);
    expect(await server.put(PHOTO, NEVER)).toEqual(taken);
    const came = await server.get(HASH, NEVER);
    if (came.is !== 'photo') throw new Error(`it came back as ${came.is}`);
    expect(came.photo.type).toBe('image/jpeg');
    expect(await bytesOf(came.photo)).toEqual(BYTES);
  });

  test('one that nobody has sent is not there', async () => {
    const { server } = await enrolled();
    expect(await server.get(HASH, NEVER)).toEqual({ is: 'not-there' });
  });

  test('one with another hash than it says is refused for good', async () => {
    const { server } = await enrolled();
    expect(await server.put({ ...PHOTO, photo: 'a'.repeat(64) }, NEVER)).toEqual({
      is: 'refused',
      reasons: ['sha256: is not that of the body'],
    });
  });

  test('one that is too large is refused for good', async () => {
    const { server } = await enrolled();
    const outcome = await server.put({ ...PHOTO, blob: new Blob([BYTES, new Uint8Array(600_000)]) }, NEVER);
    expect(outcome.is).toBe('refused');
  });

  test('a key that is no longer taken, or of another site, is told apart from a bad photograph', async () => {
    const here = await enrolled();
    await server.ledger.revokeBench(SITE, here.bench, server.now);
    expect(await here.server.put(PHOTO, NEVER)).toEqual({ is: 'not-allowed' });
    expect(await here.server.get(HASH, NEVER)).toEqual({ is: 'not-allowed' });
    await server.ledger.close();
    const elsewhere = await enrolled({ site: 'netherby' as typeof SITE });
    expect(await elsewhere.server.put(PHOTO, NEVER)).toEqual({ is: 'not-allowed' });
  });

  test('what is known by its hash alone is fetched once, and then is here', async () => {
    const { server } = await enrolled();
    await server.put(PHOTO, NEVER);
    let asked = 0;
    const counting = {
      get(photo: string, until: AbortSignal) {
        asked += 1;
        return server.get(photo, until);
      },
    };
    const photos = new MemoryPhotos();
    const effects = { photos, server: counting, now: () => MONDAY_8 };
    for (let times = 0; times < 2; times += 1) {
      const came = await fetchPhoto(effects, HASH, NEVER);
      if (came.is !== 'photo') throw new Error(`it came back as ${came.is}`);
      expect(await bytesOf(came.photo)).toEqual(BYTES);
    }
    expect(asked).toBe(1);
    expect((await photos.get(HASH))?.state).toBe('at-server');
    expect(await photos.waiting(9)).toEqual([]);
  });

  test('where nothing is kept, or the store fails, it is fetched all the same', async () => {
    const { server } = await enrolled();
    await server.put(PHOTO, NEVER);
    const { LedgerFailure } = await import('../../src/tablet/ledger/ledger.ts');
    const fails = () => Promise.reject(new LedgerFailure('full'));
    for (const photos of [null, { get: fails, keepFetched: fails }]) {
      const came = await fetchPhoto({ photos, server, now: () => MONDAY_8 }, HASH, NEVER);
      expect(came.is).toBe('photo');
    }
  });
});

describe('against whatever else may answer', () => {
  const answering = (body: BodyInit | null, init: ResponseInit) =>
    photoServer(httpOf({ fetch: async () => new Response(body, init) }));
  const json = (body: unknown, status: number, headers = {}) =>
    [JSON.stringify(body), { status, headers }] as const;
  const state = {
    dataset: DATASET,
    epoch: EPOCH,
    head: '',
    book: 1,
    heldSeq: 0,
    clock: { receivedAt: MONDAY_8, answeredAt: MONDAY_8 },
  };

  test.each([
    ['a sign-in page with 200', '<html>sign in</html>', { status: 200 }, 'unreachable'],
    ['an answer about another', ...json({ state, photo: 'b'.repeat(64), answer: 'had' }, 200), 'unreachable'],
    ['an answer with no state', ...json({ photo: HASH, answer: 'had' }, 200), 'unreachable'],
    ['a redirect', null, { status: 302, headers: { location: 'https://elsewhere.example' } }, 'fault'],
    ['a proxy that finds it too large', '<html>413</html>', { status: 413 }, 'fault'],
    ['a server without photographs', ...json({ refused: 'not-found', reasons: [] }, 404), 'fault'],
    ['a server that fails', ...json({ refused: 'server-fault', reasons: [] }, 500), 'fault'],
    ['a proxy that refuses', '<html>no</html>', { status: 400 }, 'fault'],
    ['no key', ...json({ refused: 'no-key', reasons: [] }, 401), 'not-allowed'],
  ] as const)('%s is not taken for an answer, and refuses no photograph', async (_, body, init, is) => {
    expect((await answering(body, init).put(PHOTO, NEVER)).is).toBe(is);
  });

  test.each([
    ['429', { status: 429, headers: { 'retry-after': '7' } }, 7_000],
    ['503', { status: 503 }, null],
  ] as const)('%s is a busy server', async (_, init, retryAfterMs) => {
    expect(await answering(null, init).put(PHOTO, NEVER)).toEqual({ is: 'busy', retryAfterMs });
    expect(await answering(null, init).get(HASH, NEVER)).toEqual({ is: 'busy', retryAfterMs });
  });

  test.each([
    ['a page in its place', '<html>sign in</html>', { status: 200 }, 'unreachable'],
    ['another picture', new Uint8Array([...BYTES, 0]), { status: 200 }, 'unreachable'],
    ['a page of 404', '<html>404</html>', { status: 404 }, 'fault'],
  ] as const)('%s is no photograph', async (_, body, init, is) => {
    expect((await answering(body, init).get(HASH, NEVER)).is).toBe(is);
  });

  test('no network, a server that is silent, and being stopped are the same: no answer', async () => {
    const silent: typeof fetch = (_, init) =>
      new Promise((_resolve, reject) => {
        init?.signal?.addEventListener('abort', () => reject(init.signal?.reason));
        if (init?.signal?.aborted) reject(init.signal.reason);
      });
    expect(await photoServer(httpOf({})).put(PHOTO, NEVER)).toEqual({ is: 'unreachable' });
    const slow = photoServer(httpOf({ fetch: silent, timeoutMs: 20 }));
    expect(await slow.put(PHOTO, NEVER)).toEqual({ is: 'unreachable' });
    const stopped = photoServer(httpOf({ fetch: silent }));
    expect(await stopped.get(HASH, AbortSignal.abort())).toEqual({ is: 'unreachable' });
  });

  test('it says who asks, and what it sends', async () => {
    const asked: [string, RequestInit | undefined][] = [];
    const spy: typeof fetch = async (url, init) => {
      asked.push([String(url), init]);
      return new Response(null, { status: 503 });
    };
    await photoServer(httpOf({ fetch: spy, key: 'c'.repeat(64) })).put(PHOTO, NEVER);
    const [[url, init] = []] = asked;
    expect(url).toBe(`https://bench.aldermoor.example/api/photo/${HASH}`);
    expect(init).toMatchObject({
      method: 'PUT',
      body: PHOTO.blob,
      redirect: 'manual',
      credentials: 'omit',
      headers: {
        'content-type': 'image/jpeg',
        authorization: `Bearer ${'c'.repeat(64)}`,
        'x-waxend-site': SITE,
        'x-waxend-wire': '1',
      },
    });
  });
});

test('the hash is SHA-256, with the browser’s own and without it', async () => {
  // FIPS 180-4 example: «abc».
  const abc = new TextEncoder().encode('abc').buffer as ArrayBuffer;
  const expected = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
  expect(await photoHash(abc)).toBe(expected);
  const none = undefined as unknown as SubtleCrypto;
  expect(await photoHash(abc, none)).toBe(expected);
  const digest = async () => new Uint8Array(32).buffer;
  expect(await photoHash(abc, { digest })).toBe('0'.repeat(64));
});

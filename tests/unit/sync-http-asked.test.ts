/** What a tablet sends over HTTP for each thing that it asks, and how it goes about the asking. */
import { describe, expect, test } from 'vitest';
import { CURSOR_START } from '../../src/domain/cursor.ts';
import {
  GZIP_FROM_BYTES,
  type HttpEffects,
  httpParts,
  httpServer,
  openLive,
  REQUEST_MS_MAX,
} from '../../src/tablet/sync/http-server.ts';
import { handAt, PAIR, SITE, seenUpTo, WELTING } from '../support/builders.ts';

const never = new AbortController().signal;

interface Asked {
  readonly url: URL;
  readonly init: RequestInit;
  readonly headers: Headers;
}

/** Effects whose network answers with nothing of ours, and what it was asked. */
function network(told: Partial<HttpEffects> = {}) {
  const asked: Asked[] = [];
  const effects: HttpEffects = {
    base: 'https://bench.aldermoor.example',
    key: 'k',
    site: SITE,
    fetch: async (url, init = {}) => {
      asked.push({ url: new URL(String(url)), init, headers: new Headers(init.headers) });
      return new Response('');
    },
    now: () => 0,
    maybeOnline: () => true,
    after: () => () => undefined,
    ...told,
  };
  const only = () => {
    const [one, ...more] = asked;
    if (one === undefined || more.length > 0) throw new Error(`${asked.length} requests`);
    return one;
  };
  return { effects, only };
}

describe('what is asked', () => {
  test.each([
    ['the book', '/api/site', (effects: HttpEffects) => httpServer(effects).site(never)],
    ['a page', '/api/pull', (effects: HttpEffects) => httpServer(effects).pull(CURSOR_START, never)],
    ['a snapshot', '/api/snapshot', (effects: HttpEffects) => httpParts(effects).snapshot(null, never)],
    ['a pair', `/api/pair/${PAIR}`, (effects: HttpEffects) => httpParts(effects).pair(PAIR, never)],
    ['the live stream', '/api/live', (effects: HttpEffects) => openLive(effects, never)],
  ])('for %s goes to %s with the key, without cookies, caches and redirects', async (_, path, ask) => {
    const { effects, only } = network();
    await ask(effects);
    const { url, init, headers } = only();
    expect([url.origin, url.pathname]).toEqual(['https://bench.aldermoor.example', path]);
    expect([init.method ?? 'GET', init.body]).toEqual(['GET', undefined]);
    expect(init).toMatchObject({ credentials: 'omit', cache: 'no-store', redirect: 'manual' });
    expect([headers.get('authorization'), headers.get('x-waxend-site')]).toEqual(['Bearer k', SITE]);
  });

  test('for a snapshot’s next page says where the last one ended, for the first page does not', async () => {
    const first = network();
    await httpParts(first.effects).snapshot(null, never);
    expect([first.only().url.searchParams.has('at'), first.only().url.searchParams.has('after')]).toEqual([
      false,
      false,
    ]);
    const next = network();
    await httpParts(next.effects).snapshot({ at: seenUpTo(7), after: PAIR }, never);
    const { searchParams } = next.only().url;
    expect([searchParams.get('at'), searchParams.get('after')]).toEqual([seenUpTo(7), PAIR]);
  });

  test('says what it takes for an answer', async () => {
    const [site, live] = [network(), network()];
    await httpServer(site.effects).site(never);
    await openLive(live.effects, never);
    expect([site.only().headers.get('accept'), live.only().headers.get('accept')]).toEqual([
      'application/json',
      'text/event-stream',
    ]);
  });

  test('in a push is posted as JSON', async () => {
    const { effects, only } = network();
    await httpServer(effects).push([handAt(WELTING).write('taken-up')], never);
    const { url, init, headers } = only();
    expect([url.pathname, init.method, headers.get('content-type')]).toEqual([
      '/api/push',
      'POST',
      'application/json',
    ]);
    expect(headers.has('content-encoding')).toBe(false);
  });

  test('in a push is packed from so many characters on, and not below', async () => {
    const record = handAt(WELTING).write('set-aside', { reason: 'x' });
    const around = JSON.stringify({ records: [record] }).length - 1;
    const packedWith = async (characters: number) => {
      const { effects, only } = network();
      await httpServer(effects).push([{ ...record, reason: 'x'.repeat(characters - around) }], never);
      return only().headers.get('content-encoding');
    };
    expect(await packedWith(GZIP_FROM_BYTES - 1)).toBeNull();
    expect(await packedWith(GZIP_FROM_BYTES)).toBe('gzip');
  });
});

describe('a request', () => {
  test('has its time limit, which is called off once it is over', async () => {
    const log: string[] = [];
    const after: HttpEffects['after'] = (ms) => {
      log.push(`limit ${ms}`);
      return () => log.push('off');
    };
    await httpServer(network({ after }).effects).site(never);
    await httpServer(network({ after, timeoutMs: 70 }).effects).site(never);
    expect(log).toEqual([`limit ${REQUEST_MS_MAX}`, 'off', 'limit 70', 'off']);
  });

  test('has its time limit called off also where nobody answered', async () => {
    let off = 0;
    const after = () => () => (off += 1);
    const fetch = () => Promise.reject(new TypeError('network'));
    await httpServer(network({ after, fetch }).effects).site(never);
    expect(off).toBe(1);
  });

  test('that is over its limit is given up, and said to be late', async () => {
    const limits: (() => void)[] = [];
    const after: HttpEffects['after'] = (_, then) => {
      limits.push(then);
      return () => undefined;
    };
    const fetch: HttpEffects['fetch'] = (_, init) =>
      new Promise((_resolve, reject) =>
        init?.signal?.addEventListener('abort', () => reject(new Error('given up'))),
      );
    const answer = httpServer(network({ after, fetch }).effects).site(never);
    for (const limit of limits) limit();
    expect(await answer).toEqual({ is: 'unreachable', why: 'timed-out' });
  });

  test('listens to its signal no longer than it lasts', async () => {
    const heard: string[] = [];
    const signal = new (class extends EventTarget {
      readonly aborted = false;
      override addEventListener(type: string) {
        heard.push(`+${type}`);
      }
      override removeEventListener(type: string) {
        heard.push(`-${type}`);
      }
    })();
    await httpServer(network().effects).site(signal as unknown as AbortSignal);
    expect(heard).toEqual(['+abort', '-abort']);
  });
});

test.each([
  ['https://bench.aldermoor.example', true, 'no-connection'],
  ['https://bench.aldermoor.example', false, 'no-network'],
  ['http://localhost:8787', true, 'no-network'],
])('nobody at %s, a network perhaps there: %s; said is %s', async (base, online, why) => {
  const fetch = () => Promise.reject(new TypeError('network'));
  const { effects } = network({ base, fetch, maybeOnline: () => online });
  expect(await httpServer(effects).site(never)).toEqual({ is: 'unreachable', why });
});

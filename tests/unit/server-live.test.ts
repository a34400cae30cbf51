/** The live stream over a real port, read as a browser's fetch reads it. */
import { createParser } from 'eventsource-parser';
import { afterEach, expect, test } from 'vitest';
import { type Listening, listen } from '../../src/server/serve.ts';
import { handAt, SITE, seenUpTo } from '../support/builders.ts';
import { json, type TestServer, type TestServerOptions, testServer } from '../support/server.ts';

const stops: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const stop of stops.splice(0)) await stop();
});

async function served(
  options: TestServerOptions = {},
): Promise<{ server: TestServer; listening: Listening }> {
  const server = await testServer(options);
  const listening = await listen(server.app, server.announcer, { host: '127.0.0.1', port: 0, tls: null });
  stops.push(() => listening.stop());
  return { server, listening };
}

interface Heard {
  readonly heads: string[];
  readonly comments: number[];
  readonly response: Response;
  readonly ended: Promise<void>;
  readonly leave: () => void;
}

async function listenTo(url: string, key: string): Promise<Heard> {
  const leaving = new AbortController();
  const response = await fetch(`${url}/api/live`, {
    headers: { authorization: `Bearer ${key}`, 'accept-encoding': 'gzip' },
    signal: leaving.signal,
  });
  const heads: string[] = [];
  const comments: number[] = [];
  const parser = createParser({
    onEvent: ({ event, data }) => heads.push(`${event} ${data}`),
    onComment: () => comments.push(performance.now()),
  });
  const read = async () => {
    const reader = response.body?.getReader();
    for (let part = await reader?.read(); part?.done === false; part = await reader?.read()) {
      parser.feed(new TextDecoder().decode(part.value));
    }
  };
  const ended = read().catch(() => {});
  return { heads, comments, response, ended, leave: () => leaving.abort() };
}

async function until(holds: () => boolean, withinMs = 1_000): Promise<number> {
  const from = performance.now();
  while (!holds()) {
    if (performance.now() - from > withinMs) throw new Error(`not within ${withinMs} ms`);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  return performance.now() - from;
}

test('a stream says the head at once, and a push within a second', async () => {
  const { server, listening } = await served();
  const [bench, other] = [await server.enrol(), await server.enrol()];
  const heard = await listenTo(listening.url, other.key);
  await until(() => heard.heads.length === 1);
  expect(heard.heads).toEqual([`head ${seenUpTo(0)}`]);

  const pushed = await fetch(`${listening.url}/api/push`, {
    ...json({ records: [handAt(bench.bench).write('clocked-in')] }),
    headers: { 'content-type': 'application/json', authorization: `Bearer ${bench.key}` },
  });
  expect(pushed.status).toBe(200);
  await until(() => heard.heads.length === 2);
  expect(heard.heads[1]).toBe(`head ${seenUpTo(1)}`);
  heard.leave();
});

test('no proxy may hold the stream back, and it is never packed', async () => {
  const { server, listening } = await served();
  const { key } = await server.enrol();
  const { response, leave } = await listenTo(listening.url, key);
  expect(response.headers.get('content-type')).toBe('text/event-stream');
  expect(response.headers.get('cache-control')).toBe('no-cache, no-transform');
  expect(response.headers.get('x-accel-buffering')).toBe('no');
  expect(response.headers.get('content-encoding')).toBeNull();
  expect(response.headers.get('content-security-policy')).toContain("default-src 'none'");
  leave();
});

test('a quiet stream gives signs of life, and finds what another process wrote', async () => {
  const { server, listening } = await served({ config: { liveBeatMs: 30 } });
  const bench = await server.enrol();
  const heard = await listenTo(listening.url, bench.key);
  await until(() => heard.comments.length >= 3);
  expect(heard.heads.length).toBe(1);
  // Straight into the ledger, so that nobody announces it here.
  const record = handAt(bench.bench).write('clocked-in');
  await server.ledger.append({ site: SITE, bench: bench.bench, place: 'bench' }, [record], server.now);
  await until(() => heard.heads.length === 2);
  heard.leave();
});

test('a stream ends after its life, and once its key is revoked', async () => {
  const { server, listening } = await served({ config: { liveBeatMs: 20, liveLifeMs: 200 } });
  const { key, bench } = await server.enrol();
  const aged = await listenTo(listening.url, key);
  await aged.ended;
  const revoked = await listenTo(listening.url, key);
  await until(() => revoked.heads.length === 1);
  await server.ledger.revokeBench(SITE, bench, server.now);
  await revoked.ended;
  expect(revoked.heads.length).toBe(1);
  await until(() => server.announcer.listening === 0);
});

test('two hundred readers that vanish leave no listener behind', async () => {
  const { server, listening } = await served();
  const { key } = await server.enrol();
  for (let round = 0; round < 10; round += 1) {
    const readers = await Promise.all(Array.from({ length: 20 }, () => listenTo(listening.url, key)));
    expect(server.announcer.listening).toBe(20);
    for (const { leave } of readers) leave();
    await until(() => server.announcer.listening === 0, 5_000);
  }
  expect(server.logged).toEqual([]);
});

test('a stream that nobody reads is let go at the end of its life', async () => {
  const server = await testServer({ config: { liveBeatMs: 5, liveLifeMs: 100 } });
  const { key } = await server.enrol();
  const response = await server.fetch('/api/live', { key });
  expect(server.announcer.listening).toBe(1);
  await until(() => server.announcer.listening === 0);
  await response.body?.cancel();
  await server.fetch('/api/live', { key, method: 'HEAD' });
  expect(server.announcer.listening).toBe(0);
});

test('stopping the server ends its streams and lets answers under way finish', async () => {
  const { server, listening } = await served();
  const { key } = await server.enrol();
  const heard = await listenTo(listening.url, key);
  await until(() => heard.heads.length === 1);
  stops.length = 0;
  await listening.stop();
  await heard.ended;
  expect(server.announcer.listening).toBe(0);
});

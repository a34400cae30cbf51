/** What counts as an answer of the server, over real HTTP on this machine. */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CURSOR_START } from '../../src/domain/cursor.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { GZIP_FROM_BYTES, httpServer } from '../../src/tablet/sync/http-server.ts';
import type { Server } from '../../src/tablet/sync/server.ts';
import { EPOCH, handAt, SITE, seenUpTo, siteBook, WELTING } from '../support/builders.ts';

type Answering = (request: IncomingMessage, response: ServerResponse, body: Buffer) => void;

let answering: Answering = () => undefined;
let server: Server;
let base: string;
let stop: () => void;
const KEY = 'a'.repeat(64);

beforeAll(async () => {
  const http = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => answering(request, response, Buffer.concat(chunks)));
  });
  await new Promise<void>((resolve) => http.listen(0, '127.0.0.1', resolve));
  base = `http://127.0.0.1:${(http.address() as AddressInfo).port}`;
  server = serverAt(base);
  stop = () => {
    http.closeAllConnections();
    http.close();
  };
});
afterAll(() => stop());

function serverAt(base: string, told: { maybeOnline?: boolean; timeoutMs?: number } = {}): Server {
  let now = 1_000_000;
  return httpServer({
    base,
    key: KEY,
    site: SITE,
    fetch,
    now: () => (now += 40),
    maybeOnline: () => told.maybeOnline ?? true,
    timeoutMs: told.timeoutMs ?? 5000,
  });
}

const STATE = {
  dataset: 'dataset-of-aldermoor',
  epoch: EPOCH,
  head: seenUpTo(3),
  book: 1,
  heldSeq: 2,
  clock: { receivedAt: 1, answeredAt: 2 },
};
const never = new AbortController().signal;
const json = (status: number, body: unknown, headers: Record<string, string> = {}): Answering => {
  return (_, response) => {
    response.writeHead(status, { 'content-type': 'application/json', ...headers });
    response.end(JSON.stringify(body));
  };
};
const records = (count: number): readonly LedgerRecord[] => {
  const hand = handAt(WELTING);
  return Array.from({ length: count }, () => hand.write('clocked-in'));
};

describe('an answer', () => {
  test('of the wire’s shape is one, with the tablet’s own stamps around it', async () => {
    answering = json(200, { state: STATE, book: siteBook() });
    expect(await server.site(never)).toEqual({
      is: 'answer',
      body: { state: STATE, book: siteBook() },
      sentAt: 1_000_040,
      arrivedAt: 1_000_080,
    });
  });

  test('is asked for with the key, the site and the wire’s version in headers, and nothing of them in the address', async () => {
    let seen: IncomingMessage | null = null;
    answering = (request, response, body) => {
      seen = request;
      json(200, { state: STATE, records: [], cursor: seenUpTo(3), more: false, fromStart: false })(
        request,
        response,
        body,
      );
    };
    await server.pull(seenUpTo(2), never);
    const { url, headers } = seen as unknown as IncomingMessage;
    expect(url).toBe(`/api/pull?after=${EPOCH}.2`);
    expect(headers).toMatchObject({
      authorization: `Bearer ${KEY}`,
      'x-waxend-site': SITE,
      'x-waxend-wire': '1',
    });
  });

  const noAnswers: readonly (readonly [string, Answering])[] = [
    [
      'a sign-in page with status 200',
      (_, response) => response.end('<!doctype html><title>Welcome</title>'),
    ],
    [
      'HTML that says it is JSON',
      (_, response) => {
        response.writeHead(200, { 'content-type': 'application/json' });
        response.end('<!doctype html>');
      },
    ],
    ['JSON of another shape', json(200, { ok: true })],
    ['JSON that lacks the server’s clock', json(200, { state: { ...STATE, clock: {} }, book: siteBook() })],
    [
      'a redirect',
      (_, response) => {
        response.writeHead(302, { location: 'http://127.0.0.1:9/sign-in' });
        response.end();
      },
    ],
    [
      'a page that is not found',
      (_, response) => {
        response.writeHead(404, { 'content-type': 'text/html' });
        response.end('<h1>Not found</h1>');
      },
    ],
  ];
  test.each(noAnswers)('is not %s', async (_, other) => {
    answering = other;
    expect(await server.site(never)).toEqual({ is: 'unreachable', why: 'not-our-server' });
  });
});

describe('no answer', () => {
  const refusal = (refused: string) => ({ refused, reasons: [] });
  test.each([
    ['401 that names the reason', 401, refusal('key-revoked'), {}, { is: 'not-allowed', why: 'key-revoked' }],
    ['403 that names the reason', 403, refusal('wrong-site'), {}, { is: 'not-allowed', why: 'wrong-site' }],
    ['403 of somebody in between', 403, 'Forbidden', {}, { is: 'not-allowed', why: 'not-allowed' }],
    ['413', 413, 'too large', {}, { is: 'too-large' }],
    ['429 with a number of seconds', 429, {}, { 'retry-after': '12' }, { is: 'busy', retryAfterMs: 12_000 }],
    ['429 without', 429, refusal('too-many-tries'), {}, { is: 'busy', retryAfterMs: null }],
    ['502 of a proxy', 502, 'bad gateway', {}, { is: 'busy', retryAfterMs: null }],
    ['503', 503, {}, { 'retry-after': '1' }, { is: 'busy', retryAfterMs: 1000 }],
    ['500', 500, refusal('server-fault'), {}, { is: 'fault', status: 500 }],
    ['504', 504, 'timeout', {}, { is: 'fault', status: 504 }],
    ['400 of the server itself', 400, refusal('bad-request'), {}, { is: 'fault', status: 400 }],
  ] as const)('%s', async (_, status, body, headers, expected) => {
    answering = json(status, body, headers);
    expect(await server.push(records(1), never)).toEqual(expected);
  });

  test('a 400 that says what became of each record is an answer', async () => {
    const [record] = records(1);
    const answers = [
      { id: record?.id ?? null, index: 0, answer: 'refused', reasons: ['pair: is no ticket number'] },
    ];
    answering = json(400, { state: STATE, answers, ...refusal('bad-request') });
    expect(await server.push(records(1), never)).toMatchObject({ is: 'answer', body: { answers } });
  });

  test('a server that says nothing is given up in time', async () => {
    answering = () => undefined;
    expect(await serverAt(base, { timeoutMs: 60 }).site(never)).toEqual({
      is: 'unreachable',
      why: 'timed-out',
    });
  });

  test('an answer that breaks off in the middle is none, and is given up in time', async () => {
    answering = (_, response) => {
      response.writeHead(200, { 'content-type': 'application/json' });
      response.write('{"state":');
    };
    expect(await serverAt(base, { timeoutMs: 60 }).site(never)).toEqual({
      is: 'unreachable',
      why: 'timed-out',
    });
  });

  test('nobody at the address: no network, or over TLS maybe no connection', async () => {
    expect(await serverAt('http://127.0.0.1:9').site(never)).toEqual({
      is: 'unreachable',
      why: 'no-network',
    });
    expect(await serverAt('https://127.0.0.1:9').site(never)).toEqual({
      is: 'unreachable',
      why: 'no-connection',
    });
    expect(await serverAt('https://127.0.0.1:9', { maybeOnline: false }).site(never)).toEqual({
      is: 'unreachable',
      why: 'no-network',
    });
  });

  test('a stopped loop does not wait for its request', async () => {
    answering = () => undefined;
    const stopping = new AbortController();
    const asked = server.pull(CURSOR_START, stopping.signal);
    stopping.abort();
    expect(await asked).toMatchObject({ is: 'unreachable' });
  });
});

describe('a push', () => {
  const pushed = async (count: number) => {
    let body: Buffer = Buffer.alloc(0);
    let encoding: string | undefined;
    answering = (request, response, sent) => {
      body = sent;
      encoding = request.headers['content-encoding'];
      json(200, { state: STATE, answers: [] })(request, response, sent);
    };
    await server.push(records(count), never);
    return { body, encoding };
  };

  test('of one record is sent as it is', async () => {
    const { body, encoding } = await pushed(1);
    expect(encoding).toBeUndefined();
    expect(JSON.parse(body.toString())).toEqual({ records: records(1) });
  });

  test('that is large is sent compressed (gzip, RFC 1952), and is the same when unpacked by zlib', async () => {
    const { body, encoding } = await pushed(100);
    expect(encoding).toBe('gzip');
    expect(JSON.parse(gunzipSync(body).toString())).toEqual({ records: records(100) });
    expect(body.length).toBeLessThan(JSON.stringify({ records: records(100) }).length / 3);
    expect(GZIP_FROM_BYTES).toBeLessThan(JSON.stringify({ records: records(100) }).length);
  });
});

/** Nothing that a client can send makes the server fail: whatever the JSON, the answer is one of its own. */
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { pushAnswerSchema } from '../../src/wire/push.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { handAt, SITE } from '../support/builders.ts';
import { json, type TestBench, type TestServer, testServer } from '../support/server.ts';

let server: TestServer;
let bench: TestBench;
beforeAll(async () => {
  server = await testServer();
  bench = await server.enrol();
});
afterAll(() => server.ledger.close());

/** Text with what breaks things: NUL, lone surrogates, marks of direction, names that objects have by birth. */
const nasty = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.string({ unit: fc.integer({ min: 0xd800, max: 0xdfff }).map((code) => String.fromCharCode(code)) }),
  fc.constantFrom(
    '\u0000',
    '__proto__',
    'constructor',
    'toString',
    '\u202e',
    "'; drop table records; --",
    '🧵',
  ),
);
const anything = fc.jsonValue({ maxDepth: 6, stringUnit: 'binary' });
const numbers = fc.oneof(fc.double(), fc.maxSafeInteger(), fc.constantFrom(-0, 2 ** 53, 1e300, -1));
const value = fc.oneof(anything, nasty, numbers, fc.constantFrom(null, [], {}, true));

const usual = Object.keys(handAt('b' as never).write('clocked-in'));

/** A good record of this bench with any of its fields put to something else, and fields added. */
const spoiled = fc
  .tuple(fc.nat(1_000_000), fc.dictionary(fc.oneof(fc.constantFrom(...usual), nasty), value, { maxKeys: 4 }))
  .map(([seq, changes]) => ({ ...good(seq), ...changes }));

function good(seq: number): LedgerRecord {
  return handAt(bench.bench).write('clocked-in', { seq: seq + 1 });
}

const OWN_STATUS = new Set([200, 400, 401, 403, 404, 410, 413, 415, 429]);

test('any list of anything is answered record by record', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(fc.oneof(value, spoiled), { minLength: 1, maxLength: 8 }), async (records) => {
      const response = await bench.push(records);
      expect([200, 400]).toContain(response.status);
      const { answers } = pushAnswerSchema.parse(await response.json());
      expect(answers.map(({ index }) => index)).toEqual(records.map((_, index) => index));
      expect(answers.every(({ answer, reasons }) => (answer === 'refused') === reasons.length > 0)).toBe(
        true,
      );
    }),
    { numRuns: 300 },
  );
  expect(server.logged).toEqual([]);
});

test('what was stored comes back word for word, and again is had', async () => {
  const strange = fc
    .tuple(fc.nat(1_000_000), fc.dictionary(nasty, value, { maxKeys: 5 }))
    .map(([seq, more]) => ({ ...more, ...good(2_000_000 + seq), kind: 'of-tomorrow' }));
  await fc.assert(
    fc.asyncProperty(strange, async (record) => {
      const sent = JSON.stringify(record);
      const [first] = pushAnswerSchema.parse(await (await bench.push([record])).json()).answers;
      if (first?.answer !== 'stored') return;
      const [again] = pushAnswerSchema.parse(await (await bench.push([record])).json()).answers;
      expect(again?.answer).toBe('had');
      const { head = 0 } = (await server.ledger.standing(SITE, bench.bench)) ?? {};
      const [held] = await server.ledger.read(SITE, head - 1, 1);
      expect(held?.json).toBe(sent);
    }),
    { numRuns: 200 },
  );
});

test('any JSON, and any text at all, as a body', async () => {
  const bodies = fc.oneof(
    value.map((body) => JSON.stringify(body)),
    fc.string({ unit: 'binary' }),
    fc.constantFrom(
      '{"records":[1e999]}',
      '{"records":[-1e999,{"at":1e999}]}',
      '{"__proto__":{"records":[1]}}',
      '\ufeff{}',
      '"',
    ),
    fc.uint8Array({ maxLength: 200 }),
  );
  await fc.assert(
    fc.asyncProperty(fc.constantFrom('/api/push', '/api/enrol'), bodies, async (path, body) => {
      const response = await server.fetch(path, { ...json(0), body: body as BodyInit, key: bench.key });
      expect(OWN_STATUS).toContain(response.status);
      refusalSchema.parse(await response.json());
    }),
    { numRuns: 300 },
  );
  expect(server.logged).toEqual([]);
});

test('any address and any headers', async () => {
  const text = fc.string({ unit: 'grapheme-ascii' });
  await fc.assert(
    fc.asyncProperty(text, text, text, async (path, query, header) => {
      for (const base of ['/api/pull', '/api/', '/']) {
        const url = `${base}${encodeURI(path)}?after=${encodeURIComponent(query)}&limit=${encodeURIComponent(header)}`;
        const headers = { 'accept-encoding': header, 'x-waxend-wire': header, 'content-encoding': header };
        const response = await server.fetch(url, { key: bench.key, headers });
        expect(OWN_STATUS).toContain(response.status);
      }
    }),
    { numRuns: 200 },
  );
  expect(server.logged).toEqual([]);
});

test('numbers beyond JSON are read as what they become, and refused where they matter', async () => {
  const text = JSON.stringify({ records: [good(5_000_000)] }).replace(/"at":\d+/, '"at":1e999');
  const response = await bench.push([], { body: text });
  expect(response.status).toBe(400);
  const [answer] = pushAnswerSchema.parse(await response.json()).answers;
  expect(answer?.reasons[0]).toMatch(/^at: /);
});

/** Push, pull and the site's book through the app, as a tablet asks for them. */
import { gzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { CURSOR_START, placeOf } from '../../src/domain/cursor.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { PUSH_BYTES_MAX, pushAnswerSchema } from '../../src/wire/push.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { siteAnswerSchema } from '../../src/wire/site.ts';
import { EPOCH, handAt, MONDAY_8, SITE, seenUpTo } from '../support/builders.ts';
import { DATASET, json, type TestBench, testServer } from '../support/server.ts';

const five = ({ bench }: TestBench) => {
  const hand = handAt(bench);
  return Array.from({ length: 5 }, () => hand.write('clocked-in'));
};
const answersOf = async (response: Response) => pushAnswerSchema.parse(await response.json());
const refusalOf = async (response: Response) => refusalSchema.parse(await response.json());

test('what is pushed is answered one by one, and said to be held', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  server.now += 40;
  const response = await bench.push(five(bench));
  expect(response.status).toBe(200);
  const { answers, state } = await answersOf(response);
  expect(answers.map(({ answer }) => answer)).toEqual(Array(5).fill('stored'));
  expect(state).toMatchObject({ dataset: DATASET, epoch: EPOCH, head: seenUpTo(5), book: 2, heldSeq: 5 });
  expect(state.clock).toEqual({ receivedAt: MONDAY_8 + 40, answeredAt: MONDAY_8 + 40 });
});

test('the two stamps are taken first and last', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const ticking = { ...server, clock: () => (server.now += 10) };
  const { createApp } = await import('../../src/server/app.ts');
  const before = server.now;
  const response = await createApp(ticking).request('/api/site', {
    headers: { authorization: `Bearer ${bench.key}` },
  });
  const { state } = siteAnswerSchema.parse(await response.json());
  expect(state.clock).toEqual({ receivedAt: before + 10, answeredAt: before + 20 });
});

test('a batch whose answer was lost is had the second time', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const records = five(bench);
  await bench.push(records);
  const { answers, state } = await answersOf(await bench.push(records));
  expect(answers.map(({ answer }) => answer)).toEqual(Array(5).fill('had'));
  expect(placeOf(state.head)?.pos).toBe(5);
});

test('a batch with bad records gets 400 with reasons, and the good ones are held', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const [first, second, third] = five(bench);
  const response = await bench.push([first, { ...second, at: -1 }, 12, third]);
  expect(response.status).toBe(400);
  const body = await response.json();
  expect(refusalSchema.parse(body)).toEqual({ refused: 'bad-request', reasons: ['records: 2 of 4 refused'] });
  const { answers, state } = pushAnswerSchema.parse(body);
  expect(answers.map(({ answer }) => answer)).toEqual(['stored', 'refused', 'refused', 'stored']);
  expect(answers[1]?.reasons[0]).toMatch(/^at: /);
  expect(placeOf(state.head)?.pos).toBe(2);
});

test('a record of another bench is refused, whatever key it comes with', async () => {
  const server = await testServer();
  const [mine, other] = [await server.enrol(), await server.enrol()];
  const response = await mine.push([handAt(other.bench).write('clocked-in')]);
  expect(response.status).toBe(400);
  const [answer] = (await answersOf(response)).answers;
  expect(answer).toMatchObject({ answer: 'refused', reasons: ['bench: is not the bench of this key'] });
});

test('everybody pulls everybody’s records, page by page, and comes to the end', async () => {
  const server = await testServer();
  const [one, two] = [await server.enrol(), await server.enrol()];
  await one.push(five(one));
  await two.push(five(two));
  const pulled: unknown[] = [];
  let [after, more] = [CURSOR_START as string, true];
  for (let page = 0; more; page += 1) {
    const answer = pullAnswerSchema.parse(await (await two.get(`/api/pull?after=${after}&limit=3`)).json());
    pulled.push(...answer.records);
    [after, more] = [answer.cursor, answer.more];
    expect(answer.fromStart).toBe(false);
    expect(page).toBeLessThan(4);
  }
  expect(pulled).toEqual([...five(one), ...five(two)].map((record, index) => ({ pos: index + 1, record })));
  const rest = pullAnswerSchema.parse(await (await two.get(`/api/pull?after=${after}`)).json());
  expect(rest).toMatchObject({ records: [], cursor: after, more: false });
});

test('a cursor of another epoch, or beyond the head, begins anew', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  await bench.push(five(bench));
  for (const after of [seenUpTo(4, '4e5f6a7b'), seenUpTo(6)]) {
    const answer = pullAnswerSchema.parse(await (await bench.get(`/api/pull?after=${after}`)).json());
    expect(answer.fromStart).toBe(true);
    expect(answer.records.length).toBe(5);
  }
});

test.each(['after=x', 'after=zz.1', 'limit=0', 'limit=1001', 'limit=ten', 'limit=1.5', 'after=%00'])(
  'a pull with %s is refused',
  async (query) => {
    const server = await testServer();
    const bench = await server.enrol();
    const response = await bench.get(`/api/pull?${query}`);
    expect(response.status).toBe(400);
    expect((await refusalOf(response)).refused).toBe('bad-request');
  },
);

test('the book is the one in the ledger, with its version in the state', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const { book, state } = siteAnswerSchema.parse(await (await bench.get('/api/site')).json());
  expect(book).toEqual(await server.ledger.book(SITE));
  expect(book.benches.map((one) => one.bench)).toEqual([bench.bench]);
  expect(state.book).toBe(book.version);
});

test('a body packed with gzip is read', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const body = gzipSync(JSON.stringify({ records: five(bench) }));
  const headers = { 'content-type': 'application/json', 'content-encoding': 'gzip' };
  expect((await bench.push([], { body, headers })).status).toBe(200);
  const pulled = pullAnswerSchema.parse(await (await bench.get('/api/pull')).json());
  expect(pulled.records.length).toBe(5);
});

test('a long answer is packed for who takes it, and for nobody else; a short one for nobody', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const hand = handAt(bench.bench);
  const many = Array.from({ length: 150 }, () =>
    hand.write('noted', { text: 'the welt is torn at the toe' }),
  );
  await bench.push(many);
  const packing = async (takes: string, path = '/api/pull') => {
    const answer = await server.fetch(path, { key: bench.key, headers: { 'accept-encoding': takes } });
    const encoding = answer.headers.get('content-encoding');
    const body =
      encoding === 'gzip' ? answer.body?.pipeThrough(new DecompressionStream('gzip')) : answer.body;
    const { records } = pullAnswerSchema.parse(JSON.parse(await new Response(body).text()));
    return [encoding, records.length];
  };
  expect(await packing('gzip')).toEqual(['gzip', 150]);
  expect(await packing('deflate, gzip;q=0.5, br')).toEqual(['gzip', 150]);
  expect(await packing('GZIP ; Q=1.000, *;q=0')).toEqual(['gzip', 150]);
  expect(await packing('br, *;q=0.1')).toEqual(['gzip', 150]);
  for (const not of ['gzip;q=0', '*, gzip;q=0.000', 'br, gzip;q=0, *;q=0.5', '*;q=0', ''])
    expect(await packing(not)).toEqual([null, 150]);
  expect(await packing('identity')).toEqual([null, 150]);
  expect(await packing('gzip', '/api/pull?limit=5')).toEqual([null, 5]);
});

test('a body that unpacks to more than a push may hold is refused unread', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const body = gzipSync(Buffer.alloc(50_000_000));
  expect(body.length).toBeLessThan(PUSH_BYTES_MAX);
  const headers = { 'content-type': 'application/json', 'content-encoding': 'gzip' };
  const response = await bench.push([], { body, headers });
  expect(response.status).toBe(413);
  expect((await refusalOf(response)).refused).toBe('too-large');
});

const REFUSED: readonly (readonly [string, RequestInit, number])[] = [
  ['no body', json(undefined), 400],
  ['no JSON', { ...json(0), body: '{"records":[' }, 400],
  ['a number', json(1), 400],
  ['null', json(null), 400],
  ['no records', json({}), 400],
  ['an empty list', json({ records: [] }), 400],
  ['records that are no list', json({ records: { 0: 1 } }), 400],
  ['201 records', json({ records: Array(201).fill(0) }), 413],
  ['a hundred thousand records', json({ records: Array(100_000).fill(0) }), 413],
  ['more bytes than a push may have', { ...json(0), body: `[${' '.repeat(PUSH_BYTES_MAX)}]` }, 413],
  ['nesting without an end', { ...json(0), body: '['.repeat(100_000) }, 400],
  [
    'a form',
    { method: 'POST', body: 'records=1', headers: { 'content-type': 'application/x-www-form-urlencoded' } },
    415,
  ],
  ['no content type', { method: 'POST', body: '{}', headers: { 'content-type': '' } }, 415],
  [
    'an encoding that nobody knows',
    { ...json(0), headers: { 'content-type': 'application/json', 'content-encoding': 'br' } },
    415,
  ],
  [
    'gzip that is none',
    { ...json(0), headers: { 'content-type': 'application/json', 'content-encoding': 'gzip' } },
    400,
  ],
  ['bytes that are no UTF-8', { ...json(0), body: Uint8Array.of(0x22, 0xff, 0x22) }, 400],
];

test.each(REFUSED)('a push of %s is refused in words', async (_, init, status) => {
  const server = await testServer();
  const bench = await server.enrol();
  const response = await server.fetch('/api/push', { ...init, key: bench.key });
  expect(response.status).toBe(status);
  expect((await refusalOf(response)).reasons.length).toBeGreaterThan(0);
  expect(server.logged).toEqual([]);
});

test('nesting within one record is refused with that record alone', async () => {
  const server = await testServer();
  const bench = await server.enrol();
  const [first, second] = five(bench);
  const text = JSON.stringify({ records: [first, { ...second, deep: 0 }] });
  const body = text.replace('"deep":0', `"deep":${'['.repeat(50_000)}${']'.repeat(50_000)}`);
  const response = await bench.push([], { body });
  expect(response.status).toBe(400);
  expect((await answersOf(response)).answers.map(({ answer }) => answer)).toEqual(['stored', 'refused']);
});

/** The read interface, through the whole app on a real ledger: who may read, what is told, and files that stream. */
import { createHmac } from 'node:crypto';
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { serve } from '@hono/node-server';
import { describe, expect, test } from 'vitest';
import type { Calendar } from '../../src/domain/calendar/calendar.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asBenchId, asOperativeId } from '../../src/domain/ids.ts';
import { DAY_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { pseudonyms } from '../../src/server/read/pseudonyms.ts';
import {
  readPairAnswerSchema,
  readRecordsAnswerSchema,
  readShiftsAnswerSchema,
} from '../../src/wire/read.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { handAt, INES, MONDAY_8, PAIR, RUTH, SITE, TOMASZ } from '../support/builders.ts';
import { json, newSiteOf, type TestServer, type TestServerOptions, testServer } from '../support/server.ts';

const READ = '/api/read/v1';
const DAYS = 'from=2026-11-02&to=2026-11-02';
const EXPORTS = ['records.csv', 'spells.csv', 'log.ocel.json', 'log.xes'];
const TOKEN = 'a'.repeat(64);

async function house(options: TestServerOptions = {}) {
  const server = await testServer(options);
  const addReader = async (name: string, token: string) => {
    const reader = asBenchId(`r-${name}`);
    await server.ledger.addReader(SITE, { reader, name, keyHash: codeHash(token), now: server.now });
    return reader;
  };
  const reader = await addReader('reader', TOKEN);
  const [bench, desk] = [await server.enrol('bench'), await server.enrol('desk')];
  const read = (path: string, key = TOKEN) => server.fetch(`${READ}${path}`, { key });
  return { server, reader, addReader, bench, desk, read, hand: handAt(bench.bench) };
}

/** A pair logged, worked by two hands, and a note of a supervisor's. */
async function worked() {
  const built = await house();
  const { hand, bench } = built;
  const begun = hand.write('clocked-in');
  const records = [
    hand.write('pair-logged'),
    begun,
    hand.write('hand-joined', { of: begun.id }),
    hand.write('clocked-out', { of: begun.id }),
    hand.write('let-through', { hand: RUTH, by: RUTH }),
  ];
  await bench.push(records);
  return { ...built, records, begun };
}

const refusedAs = async (response: Response) => [
  response.status,
  refusalSchema.parse(await response.json()).refused,
];

describe('who may read', () => {
  test('a reader’s token opens the read interface and nothing else', async () => {
    const { server, read } = await house();
    expect((await read('/records')).status).toBe(200);
    const others = server.app.routes.filter(
      ({ method, path }) =>
        path.startsWith('/api/') && !path.startsWith(READ) && method !== 'ALL' && !OPEN.includes(path),
    );
    expect(others.length).toBeGreaterThanOrEqual(10);
    for (const { method, path } of others) {
      const init = method === 'POST' ? json({ records: [] }) : { method };
      const answer = await server.fetch(path, { ...init, key: TOKEN });
      expect([method, path, ...(await refusedAs(answer))]).toEqual([method, path, 403, 'not-allowed']);
    }
  });

  test('what a reader would push is not held', async () => {
    const { server, reader } = await house();
    const push = json({ records: [handAt(reader).write('clocked-in')] });
    expect(await refusedAs(await server.fetch('/api/push', { ...push, key: TOKEN }))).toEqual([
      403,
      'not-allowed',
    ]);
    expect(await server.ledger.read(SITE, 0, 10)).toEqual([]);
  });

  test('a bench reads nothing here, a desk everything, nobody without a key', async () => {
    const { server, bench, desk } = await worked();
    for (const path of [
      '/records',
      `/pairs/${PAIR}`,
      '/openapi.json',
      ...EXPORTS.map((file) => `/exports/${file}?${DAYS}`),
    ]) {
      expect(await refusedAs(await bench.get(`${READ}${path}`))).toEqual([403, 'not-allowed']);
      expect(await refusedAs(await server.fetch(`${READ}${path}`))).toEqual([401, 'no-key']);
      const answer = await desk.get(`${READ}${path}`);
      expect(answer.status).toBe(200);
      await answer.text();
    }
  });

  test('a revoked token opens nothing, and the others go on', async () => {
    const { server, read, reader, addReader } = await house();
    await addReader('other', 'b'.repeat(64));
    await server.ledger.revokeBench(SITE, reader, server.now);
    expect(await refusedAs(await read('/records'))).toEqual([403, 'key-revoked']);
    expect((await read('/records', 'b'.repeat(64))).status).toBe(200);
  });
});

/** These ask for no key. */
const OPEN = ['/api/health', '/api/enrol'];

describe('hands', () => {
  test('no id and no name of a hand is in anything that a reader gets', async () => {
    const { server, read } = await worked();
    const key = await server.ledger.pseudonymKey(SITE, 'f'.repeat(64));
    const paths = ['/records', `/pairs/${PAIR}`, ...EXPORTS.map((file) => `/exports/${file}?${DAYS}`)];
    for (const path of paths) {
      const text = await (await read(path)).text();
      expect(text).toContain('hand-');
      for (const secret of [INES, TOMASZ, RUTH, 'Okafor', 'Lindqvist', 'Adeyemi', key])
        expect(text).not.toContain(secret);
    }
  });

  test('a hand is called the same in every answer, and at every time of asking', async () => {
    const { read } = await worked();
    const callings = async (path: string) =>
      [...new Set((await (await read(path)).text()).match(/hand-[0-9a-f]{20}/g))].toSorted();
    const first = await callings('/records');
    expect(first.length).toBe(3);
    expect(await callings('/records')).toEqual(first);
    expect(await callings(`/pairs/${PAIR}`)).toEqual(first);
    expect(await callings(`/exports/log.ocel.json?${DAYS}`)).toEqual(first);
  });

  test('it is HMAC-SHA-256 under the site’s key, as Node computes it', () => {
    const key = Uint8Array.from({ length: 32 }, (_, index) => index);
    const theirs = createHmac('sha256', key).update('op-ines').digest('hex').slice(0, 20);
    expect(pseudonyms(key)(asOperativeId('op-ines'))).toBe(`hand-${theirs}`);
    expect(pseudonyms(new Uint8Array(32))(asOperativeId('op-ines'))).not.toBe(`hand-${theirs}`);
  });

  test('names are for a desk that asks for them', async () => {
    const { server, read, desk } = await worked();
    for (const path of [
      '/records?',
      `/pairs/${PAIR}?`,
      ...EXPORTS.map((file) => `/exports/${file}?${DAYS}&`),
    ]) {
      expect(await refusedAs(await read(`${path}hands=names`))).toEqual([403, 'not-allowed']);
      expect(await (await desk.get(`${READ}${path}hands=names`)).text()).toContain('Ines Okafor');
      expect(await (await desk.get(`${READ}${path}`)).text()).not.toContain('Ines Okafor');
    }
    expect(server.logged).toEqual([]);
  });

  test('a site without figures about persons exports no names', async () => {
    const { server, desk } = await worked();
    await server.ledger.changeBook(SITE, (book) => ({
      ...book,
      personal: { figures: false, keepDays: null },
    }));
    for (const path of [`${READ}/exports/spells.csv?${DAYS}`, `${READ}/records?limit=9`]) {
      expect(await refusedAs(await desk.get(`${path}&hands=names`))).toEqual([403, 'not-allowed']);
      expect((await desk.get(path)).status).toBe(200);
    }
  });

  test('nor of days for which they have lapsed', async () => {
    const { server, desk } = await worked();
    await server.ledger.changeBook(SITE, (book) => ({ ...book, personal: { figures: true, keepDays: 30 } }));
    const path = `${READ}/exports/spells.csv?${DAYS}&hands=names`;
    const midnight = MONDAY_8 - 8 * 60 * MINUTE_MS;
    for (const [now, status] of [
      [midnight + 31 * DAY_MS, 200],
      [midnight + 31 * DAY_MS + 1, 403],
    ] as const) {
      server.now = now;
      const answer = await desk.get(path);
      expect(answer.status).toBe(status);
      await answer.text();
    }
  });
});

describe('records', () => {
  test('are told in plain fields, page by page, each once', async () => {
    const { read, records, begun } = await worked();
    const page = async (path: string) => readRecordsAnswerSchema.parse(await (await read(path)).json());
    const first = await page('/records?limit=3');
    expect(first).toMatchObject({ more: true, fromStart: false });
    const second = await page(`/records?limit=3&after=${first.cursor}`);
    expect(second).toMatchObject({ more: false });
    expect([...first.records, ...second.records].map(({ id }) => id)).toEqual(records.map(({ id }) => id));
    expect(await page(`/records?after=${second.cursor}`)).toMatchObject({
      records: [],
      cursor: second.cursor,
    });
    expect(first.records.find(({ id }) => id === begun.id)).toMatchObject({
      position: 2,
      kind: 'clocked-in',
      pair: PAIR,
      stage: 'WLT',
      benchName: 'Tablet 1',
      at: '2026-11-02T08:00:00.000Z',
      atSite: '2026-11-02T08:00:00.000+00:00',
      clockKnown: true,
      said: { stage: 'WLT', shoe: 'both', unknownPair: false },
    });
  });

  test('a kind that is newer than the server is told of, without its fields', async () => {
    const { read, bench, hand } = await house();
    const newer = { ...hand.write('clocked-in'), kind: 'polished', by: INES, secret: INES };
    await bench.push([newer]);
    const text = await (await read('/records')).text();
    expect(readRecordsAnswerSchema.parse(JSON.parse(text)).records).toMatchObject([
      { kind: 'polished', pair: PAIR, said: null },
    ]);
    expect(text).not.toContain(INES);
    const table = await (await read(`/exports/records.csv?${DAYS}`)).text();
    expect(table).toContain(',polished,');
    expect(table).not.toContain(INES);
  });

  test('a cursor from before a restore begins anew, and says so', async () => {
    const { server, read } = await worked();
    const { cursor } = readRecordsAnswerSchema.parse(await (await read('/records')).json());
    await server.ledger.startEpoch(SITE, 'ffffffff');
    expect(await (await read(`/records?after=${cursor}`)).json()).toMatchObject({
      fromStart: true,
      more: false,
    });
  });

  test.each(['after=soon', 'limit=0', 'limit=1001', 'hands=faces'])(
    '?%s is refused with a reason',
    async (query) => {
      const { read } = await house();
      expect(await refusedAs(await read(`/records?${query}`))).toEqual([400, 'bad-request']);
    },
  );
});

describe('a pair', () => {
  test('has its state and its account, what was taken back and by what', async () => {
    const { read, bench, hand } = await worked();
    const aside = hand.write('set-aside');
    const back = hand.write('voided', { of: aside.id });
    await bench.push([aside, back]);
    const answer = readPairAnswerSchema.parse(await (await read(`/pairs/${PAIR}`)).json());
    expect(answer).toMatchObject({
      pair: PAIR,
      details: { job: 'FB', promised: '2026-12-10' },
      inWorks: true,
      closed: null,
      setAside: null,
      spells: [{ stage: 'WLT', outcome: 'done', minutes: 3, sentBack: 'no', joined: [{ as: 'beside' }] }],
    });
    expect(answer.account.length).toBe(7);
    expect(answer.account.find(({ record }) => record.id === aside.id)?.takenBackBy).toBe(back.id);
    expect(answer.account.find(({ record }) => record.kind === 'clocked-in')?.words).toBe(
      'Clocked in at Welt sewing',
    );
  });

  test('of which nothing is recorded is not found, and what is no ticket is refused', async () => {
    const { read } = await worked();
    expect(await refusedAs(await read('/pairs/P0000000'))).toEqual([404, 'not-found']);
    expect(await refusedAs(await read('/pairs/a'))).toEqual([400, 'bad-request']);
  });
});

const CALENDAR: Calendar = {
  versions: [
    {
      since: null,
      rules: [
        { name: 'Night', days: [6], from: '22:00', to: '06:00', breaks: [{ from: '02:30', to: '03:00' }] },
      ],
    },
  ],
  shut: [],
  overtime: [],
};

describe('shifts', () => {
  test('are those that begin on the days, an hour longer on the night when the clocks go back', async () => {
    const { server, read } = await house();
    await server.ledger.setCalendar(SITE, CALENDAR);
    const { shifts } = readShiftsAnswerSchema.parse(
      await (await read('/shifts?from=2026-10-24&to=2026-10-24')).json(),
    );
    expect(shifts).toEqual([
      {
        name: 'Night',
        day: '2026-10-24',
        from: '2026-10-24T21:00:00.000Z',
        to: '2026-10-25T06:00:00.000Z',
        fromSite: '2026-10-24T22:00:00.000+01:00',
        toSite: '2026-10-25T06:00:00.000+00:00',
        breaks: [{ from: '2026-10-25T02:30:00.000Z', to: '2026-10-25T03:00:00.000Z' }],
        overtime: false,
      },
    ]);
    expect(await (await read('/shifts?from=2026-10-25&to=2026-10-25')).json()).toEqual({ shifts: [] });
  });

  test.each([
    'from=2026-10-25&to=2026-10-24',
    'from=2026-10-25',
    'from=soon&to=later',
    'from=2020-01-01&to=2026-01-01',
  ])('?%s is refused with a reason', async (query) => {
    const { read } = await house();
    expect(await refusedAs(await read(`/shifts?${query}`))).toEqual([400, 'bad-request']);
  });
});

describe('exports', () => {
  test('are files that no cache holds, named for the site and the days', async () => {
    const { read } = await worked();
    for (const [file, type] of [
      ['records.csv', 'text/csv; charset=utf-8; header=present'],
      ['spells.csv', 'text/csv; charset=utf-8; header=present'],
      ['log.ocel.json', 'application/json'],
      ['log.xes', 'application/xml; charset=utf-8'],
    ]) {
      const answer = await read(`/exports/${file}?${DAYS}`);
      expect(Object.fromEntries(answer.headers)).toMatchObject({
        'content-type': type,
        'content-disposition': `attachment; filename="aldermoor-2026-11-02-to-2026-11-02-${file}"`,
        'cache-control': 'no-store',
      });
      await answer.text();
    }
  });

  test('hold what is of their days, by the site’s clock', async () => {
    const { server, read, bench, hand } = await house({ book: { timeZone: 'Pacific/Auckland' } });
    // Midnight at the site is 11:00 UTC of the day before.
    const midnight = Date.parse('2026-11-01T11:00:00Z');
    await bench.push(
      [midnight - 1, midnight, midnight + DAY_MS - 1, midnight + DAY_MS].map((at) =>
        hand.write('found-here', { at }),
      ),
    );
    const linesOf = async (file: string) =>
      (await (await read(`/exports/${file}?${DAYS}`)).text()).trimEnd().split('\r\n').slice(1);
    const lines = await linesOf('records.csv');
    expect(lines.map((line) => /2026-11-\d\dT[\d:.]+\+13:00/.exec(line)?.[0])).toEqual([
      '2026-11-02T00:00:00.000+13:00',
      '2026-11-02T23:59:59.999+13:00',
    ]);
    expect(server.logged).toEqual([]);
  });

  test('a log has the whole way of every pair met in its days, and what was recorded at benches in them', async () => {
    const { read, bench, hand } = await house();
    const begun = hand.write('clocked-in', { at: MONDAY_8 - 3 * DAY_MS });
    const records = [
      begun,
      hand.write('badged-on', { at: MONDAY_8 - 3 * DAY_MS }),
      hand.write('clocked-out', { of: begun.id, at: MONDAY_8 }),
      hand.write('badged-on', { at: MONDAY_8 + MINUTE_MS }),
    ];
    const taken = hand.write('badged-off');
    await bench.push([...records, taken, hand.write('voided', { pair: null, of: taken.id })]);
    const log = (await (await read(`/exports/log.ocel.json?${DAYS}`)).json()) as {
      events: { type: string }[];
    };
    expect(log.events.map(({ type }) => type)).toEqual(['WLT begun', 'WLT finished', 'badged-on']);
    const none = (await (
      await read('/exports/log.ocel.json?from=2026-11-10&to=2026-11-11')
    ).json()) as typeof log;
    expect(none.events).toEqual([]);
    expect((await (await read(`/exports/spells.csv?${DAYS}`)).text()).trimEnd().split('\r\n').length).toBe(1);
  });

  test.each(['from=2026-11-03&to=2026-11-02', 'from=2026-11-02', 'from=2026-02-30&to=2026-03-01'])(
    '?%s is refused with a reason',
    async (query) => {
      const { read } = await house();
      expect(await refusedAs(await read(`/exports/records.csv?${query}`))).toEqual([400, 'bad-request']);
    },
  );
});

/** A ledger whose records are watched as they are read, and that can fail on the way. */
async function watchedLedger() {
  const ledger = await openSqliteLedger(':memory:');
  await ledger.createSite(newSiteOf());
  const watch = { read: 0, failAt: Number.POSITIVE_INFINITY };
  const watched = new Proxy<ServerLedger>(ledger, {
    get(target, name) {
      if (name === 'recordsBetween') {
        return async function* (...args: Parameters<ServerLedger['recordsBetween']>) {
          for await (const held of target.recordsBetween(...args)) {
            watch.read += 1;
            if (watch.read >= watch.failAt) throw new Error('the disk is gone');
            yield held;
          }
        };
      }
      const value: unknown = Reflect.get(target, name);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
  return { watch, ledger: watched };
}

const MANY = 3_000;

async function muchWorked(ledger?: ServerLedger) {
  const built = await house(ledger === undefined ? {} : { ledger });
  for (let from = 0; from < MANY; from += 200) {
    const some = Array.from({ length: 200 }, (_, index) =>
      built.hand.write('found-here', { at: MONDAY_8 + from + index }),
    );
    expect((await built.bench.push(some)).status).toBe(200);
  }
  return built;
}

/** The body of an answer, to be read by hand. */
function bodyOf(answer: Response) {
  if (answer.body === null) throw new Error('the answer has no body');
  return answer.body.getReader();
}

const settled = () => new Promise((resolve) => setTimeout(resolve, 20));

describe('streams', () => {
  test('no more is read of the ledger than is asked for', async () => {
    const { watch, ledger } = await watchedLedger();
    const { read } = await muchWorked(ledger);
    const body = bodyOf(await read(`/exports/records.csv?${DAYS}`));
    const { value } = await body.read();
    await settled();
    expect(value?.length).toBeGreaterThan(10_000);
    expect(watch.read).toBeLessThan(MANY / 5);
    await body.cancel();
    await settled();
    expect(watch.read).toBeLessThan(MANY / 5);
  });

  test('one at a time for each key; the next once the first is read, or given up', async () => {
    const { read, server, addReader } = await muchWorked();
    const other = 'b'.repeat(64);
    await addReader('other', other);
    const path = `/exports/records.csv?${DAYS}`;
    const first = await read(path);
    const refused = await read(`/exports/log.xes?${DAYS}`);
    expect(refused.headers.get('retry-after')).toBe('10');
    expect(await refusedAs(refused)).toEqual([429, 'too-many-tries']);
    expect((await read('/records?limit=1')).status).toBe(200);
    expect((await (await read(path, other)).text()).split('\r\n').length).toBe(MANY + 2);
    expect((await first.text()).split('\r\n').length).toBe(MANY + 2);
    const given = bodyOf(await read(path));
    await given.read();
    await given.cancel();
    expect((await (await read(path)).text()).split('\r\n').length).toBe(MANY + 2);
    expect(server.logged).toEqual([]);
  });

  test('over the wire, packed: whoever hangs up in the middle may ask again', async () => {
    const { read, server } = await muchWorked();
    const listening = serve({ fetch: server.app.fetch, port: 0, hostname: '127.0.0.1' });
    await once(listening, 'listening');
    const { port } = listening.address() as AddressInfo;
    const ask = (signal?: AbortSignal) =>
      fetch(`http://127.0.0.1:${port}${READ}/exports/records.csv?${DAYS}`, {
        headers: { authorization: `Bearer ${TOKEN}`, 'accept-encoding': 'gzip' },
        ...(signal === undefined ? {} : { signal }),
      });
    const hangUp = new AbortController();
    const first = await ask(hangUp.signal);
    expect(first.headers.get('content-encoding')).toBe('gzip');
    await bodyOf(first).read();
    hangUp.abort();
    await expect.poll(async () => (await read(`/exports/log.xes?${DAYS}`)).status).toBe(200);
    await new Promise((resolve) => listening.close(resolve));
  });

  test('to ask for the head alone holds nothing up', async () => {
    const { server, read } = await worked();
    const path = `${READ}/exports/records.csv?${DAYS}`;
    const head = await server.fetch(path, { method: 'HEAD', key: TOKEN });
    expect([head.status, await head.text()]).toEqual([200, '']);
    const answer = await read(`/exports/records.csv?${DAYS}`);
    expect(answer.status).toBe(200);
    await answer.text();
  });

  test('a fault on the way cuts the file off, is written down, and frees the key', async () => {
    const { watch, ledger } = await watchedLedger();
    const { read, server } = await muchWorked(ledger);
    watch.failAt = MANY / 2;
    await expect((await read(`/exports/records.csv?${DAYS}`)).text()).rejects.toThrow('the disk is gone');
    expect(server.logged.join()).toMatch(/export-fault .*the disk is gone/);
    watch.failAt = Number.POSITIVE_INFINITY;
    expect((await (await read(`/exports/records.csv?${DAYS}`)).text()).split('\r\n').length).toBe(MANY + 2);
  });
});

test('a tablet that is told of a reader would be wrong: no book names one', async () => {
  const { server, read } = await worked();
  await read('/records');
  const text = JSON.stringify(await server.ledger.book(SITE));
  expect(text).not.toContain('r-reader');
  expect(text).not.toContain(await pseudonymKeyOf(server));
});

const pseudonymKeyOf = ({ ledger }: TestServer) => ledger.pseudonymKey(SITE, '0'.repeat(64));

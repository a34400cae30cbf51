/** The site's book changed at a desk: two desks apart, routes that cannot be, wrong hands and wrong keys. */
import { describe, expect, test } from 'vitest';
import { fetchSiteBook, sendSiteChanges } from '../../src/desk/site-sender.ts';
import { siteRoutes, siteStages, siteWays } from '../../src/domain/catalogue/site-start.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { asOperativeId, asPairId, asStageCode } from '../../src/domain/ids.ts';
import { routesNow, type SiteBook, siteBookSchema } from '../../src/domain/site-book.ts';
import type { SiteChange } from '../../src/domain/site-change-kinds.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { siteAnswerSchema } from '../../src/wire/site.ts';
import { SITE_CHANGE_BYTES_MAX, siteFaultsSchema } from '../../src/wire/site-change.ts';
import { DSP, handAt, INES, LAY, MONDAY_8, RUTH, SITE, WLT } from '../support/builders.ts';
import { json, type TestBench, type TestServer, testServer } from '../support/server.ts';

const RENAME: SiteChange = { change: 'name-stage', stage: LAY, name: 'Soling', plain: 'being soled' };
const RING: SiteChange = { change: 'need', stage: LAY, needs: asStageCode('STI'), kind: 'hard' };
const REMOVE: SiteChange = { change: 'remove-stage', stage: WLT };

/** A server whose site does all of the catalogue, and two desks of it. */
async function site() {
  const server = await testServer({
    book: {
      stages: siteStages(STAGES),
      routes: [siteRoutes(STAGES)],
      ways: siteWays(STAGES),
      closingStage: DSP,
    },
  });
  const desk = await server.enrol('desk');
  const otherDesk = await server.enrol('desk');
  return { server, desk, otherDesk, book: await bookOf(server) };
}

async function bookOf({ ledger }: TestServer): Promise<SiteBook> {
  const book = await ledger.book(SITE);
  if (book === null) throw new Error('no book');
  return book;
}

const ask = (server: TestServer, { key }: { readonly key: string }, body: unknown) =>
  server.fetch('/api/site/change', { ...json(body), key });

const refusedAs = async (response: Response) => [
  response.status,
  refusalSchema.parse(await response.json()).refused,
];

describe('a change that stands', () => {
  test('is answered with the book after it, which is the book that everybody gets', async () => {
    const { server, desk, book } = await site();
    const response = await ask(server, desk, { version: book.version, changes: [RENAME], by: RUTH });
    expect(response.status).toBe(200);
    const answer = siteAnswerSchema.parse(await response.json());
    expect(answer.book.version).toBe(book.version + 1);
    expect(answer.state.book).toBe(book.version + 1);
    expect(answer.book.stages.find(({ code }) => code === LAY)?.name).toBe('Soling');
    const bench = await server.enrol('bench');
    const got = siteAnswerSchema.parse(await (await bench.get('/api/site')).json());
    expect(got.book.stages).toEqual(answer.book.stages);
  });

  test('of the routes is one version for all that was changed together, since now', async () => {
    const { server, desk, book } = await site();
    const take: SiteChange = { change: 'take-stage', stage: asStageCode('WRP'), job: 'FB', need: 'never' };
    const free: SiteChange = {
      change: 'need',
      stage: asStageCode('CRK'),
      needs: asStageCode('SEA'),
      kind: null,
    };
    server.now = MONDAY_8 + 5_000;
    await ask(server, desk, { version: book.version, changes: [take, free], by: RUTH });
    const after = await bookOf(server);
    expect(after.routes.length).toBe(2);
    expect(routesNow(after)).toMatchObject({ version: 2, since: MONDAY_8 + 5_000 });
    expect(after.routes[0]).toEqual(book.routes[0]);
  });

  test('a review day is held to the site’s own calendar, not the server’s', async () => {
    const { server, desk, book } = await site();
    await server.ledger.changeBook(SITE, (before) => ({ ...before, timeZone: 'Pacific/Auckland' }));
    // 2026-11-02T20:00Z is the 3rd in Auckland.
    server.now = MONDAY_8 + 12 * 3_600_000;
    const word = (review: string) => ({
      version: book.version + 1,
      changes: [{ change: 'word-reminder', line: 'GEN-1', text: 'Guards on.', by: 'Ruth', review }],
      by: RUTH,
    });
    const past = siteFaultsSchema.parse(await (await ask(server, desk, word('2026-11-02'))).json());
    expect(past.faults).toEqual([{ fault: 'review-past', review: '2026-11-02', today: '2026-11-03' }]);
    expect((await ask(server, desk, word('2026-11-03'))).status).toBe(200);
    expect((await bookOf(server)).reminders).toMatchObject({ version: 1, wordings: [{ on: '2026-11-03' }] });
  });
});

describe('two desks that saw the same version', () => {
  test('the second is told that the book has changed, and overwrites nothing', async () => {
    const { server, desk, otherDesk, book } = await site();
    const other: SiteChange = { change: 'name-stage', stage: LAY, name: 'Laying', plain: 'being laid' };
    await ask(server, desk, { version: book.version, changes: [RENAME], by: RUTH });
    const second = await ask(server, otherDesk, { version: book.version, changes: [other], by: RUTH });
    expect(await refusedAs(second)).toEqual([409, 'book-changed']);
    const after = await bookOf(server);
    expect(after.version).toBe(book.version + 1);
    expect(after.stages.find(({ code }) => code === LAY)?.name).toBe('Soling');
  });

  test('at the same moment: one stands, whichever', async () => {
    const { server, desk, otherDesk, book } = await site();
    const asked = (from: TestBench, name: string) =>
      ask(server, from, { version: book.version, changes: [{ ...RENAME, name }], by: RUTH });
    const answers = await Promise.all([
      asked(desk, 'Soling'),
      asked(otherDesk, 'Laying'),
      asked(desk, 'Sticking'),
    ]);
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 409, 409]);
    expect((await bookOf(server)).version).toBe(book.version + 1);
  });

  test('a book that was changed by the office command is another version too', async () => {
    const { server, desk, book } = await site();
    await server.ledger.changeBook(SITE, (before) => ({ ...before, ask: 'Ines Okafor, supervisor' }));
    const stale = await ask(server, desk, { version: book.version, changes: [RENAME], by: RUTH });
    expect(await refusedAs(stale)).toEqual([409, 'book-changed']);
  });
});

describe('a change that cannot stand', () => {
  test('is answered with its faults by name, and none of those sent with it is made', async () => {
    const { server, desk, book } = await site();
    const response = await ask(server, desk, { version: book.version, changes: [RENAME, RING], by: RUTH });
    expect(response.status).toBe(422);
    const answer = siteFaultsSchema.parse(await response.json());
    expect(answer).toMatchObject({ refused: 'bad-request', at: 1, faults: [{ fault: 'ring' }] });
    expect(await bookOf(server)).toEqual(book);
  });

  test('a stage is not taken away while pairs are on it, and is once they are off', async () => {
    const { server, desk } = await site();
    const bench = await server.enrol('bench', [WLT]);
    const { version } = await bookOf(server);
    const hand = handAt(bench.bench, INES);
    const [one, two] = ['P0000001', 'P0000002'].map(asPairId);
    if (one === undefined || two === undefined) throw new Error('no pairs');
    const first = hand.write('clocked-in', { pair: one });
    const second = hand.write('clocked-in', { pair: two });
    const out = (pair: typeof one, of: typeof first) => hand.write('clocked-out', { pair, of: of.id });
    await bench.push([first, second]);

    const asked = { version, changes: [REMOVE], by: RUTH };
    const busy = siteFaultsSchema.parse(await (await ask(server, desk, asked)).json());
    expect(busy.faults).toEqual([{ fault: 'open-pairs', stage: WLT, pairs: 2 }]);
    await bench.push([out(one, first)]);
    const still = siteFaultsSchema.parse(await (await ask(server, desk, asked)).json());
    expect(still.faults).toEqual([{ fault: 'open-pairs', stage: WLT, pairs: 1 }]);
    await bench.push([out(two, second)]);
    expect((await ask(server, desk, asked)).status).toBe(200);
    const after = await bookOf(server);
    expect(routesNow(after)?.steps.some(({ stage }) => stage === WLT)).toBe(false);
    // Records and pairs that name it are still told by its name.
    expect(after.stages.find(({ code }) => code === WLT)?.name).toBe('Welt sewing');
  });

  test.each([
    ['no changes', { changes: [] }],
    ['too many', { changes: Array.from({ length: 201 }, () => RENAME) }],
    ['a change that there is not', { changes: [{ change: 'close-site' }] }],
    ['a change with a field missing', { changes: [{ change: 'remove-stage' }] }],
    ['no version', { version: undefined }],
    ['a version that is none', { version: 'latest' }],
    ['nobody', { by: null }],
  ])('%s: the request does not read', async (_, part) => {
    const { server, desk, book } = await site();
    const body = { version: book.version, changes: [RENAME], by: RUTH, ...part };
    expect(await refusedAs(await ask(server, desk, body))).toEqual([400, 'bad-request']);
    expect(await bookOf(server)).toEqual(book);
  });

  test('a body beyond the bound', async () => {
    const { server, desk } = await site();
    const body = { version: 1, changes: [RENAME], by: 'x'.repeat(SITE_CHANGE_BYTES_MAX) };
    expect(await refusedAs(await ask(server, desk, body))).toEqual([413, 'too-large']);
  });
});

describe('who may', () => {
  test.each([
    ['a hand', INES],
    ['somebody of the office', asOperativeId('op-office')],
    ['somebody whom the site does not know', asOperativeId('op-nobody')],
  ])('%s may not', async (_, by) => {
    const { server, desk } = await site();
    const { version } = await server.ledger.changeBook(SITE, (book) =>
      siteBookSchema.parse({
        ...book,
        operatives: [
          ...book.operatives,
          { id: 'op-office', name: 'Ruth Castellan', role: 'office', released: null },
        ],
      }),
    );
    const response = await ask(server, desk, { version, changes: [RENAME], by });
    expect(await refusedAs(response)).toEqual([403, 'not-allowed']);
    expect((await bookOf(server)).version).toBe(version);
  });

  test('a tablet’s key may not, whoever says to be at it', async () => {
    const { server } = await site();
    const bench = await server.enrol('bench');
    const { version } = await bookOf(server);
    const response = await ask(server, bench, { version, changes: [RENAME], by: RUTH });
    expect(await refusedAs(response)).toEqual([403, 'not-allowed']);
  });

  test('no key, and a revoked one, may not', async () => {
    const { server, desk } = await site();
    const { version } = await bookOf(server);
    const body = { version, changes: [RENAME], by: RUTH };
    expect(await refusedAs(await server.fetch('/api/site/change', json(body)))).toEqual([401, 'no-key']);
    await server.ledger.revokeBench(SITE, desk.bench, MONDAY_8);
    expect(await refusedAs(await ask(server, desk, body))).toEqual([403, 'key-revoked']);
    expect((await bookOf(server)).version).toBe(version);
  });
});

describe('as the desk sends it', () => {
  const through = (server: TestServer) =>
    ((path: string, init?: RequestInit) => server.app.request(path, init)) as typeof fetch;

  test('what stands comes back as the book, what does not with its faults, and a stale version as such', async () => {
    const { server, desk, book } = await site();
    const deskKey = { site: SITE, key: desk.key };
    const send = (version: number, ...changes: SiteChange[]) =>
      sendSiteChanges(through(server), deskKey, { version, changes, by: RUTH });
    expect(await send(book.version, RING)).toMatchObject({
      is: 'faulty',
      at: 0,
      faults: [{ fault: 'ring' }],
    });
    expect(await send(book.version, RENAME)).toEqual({ is: 'book', book: await bookOf(server) });
    expect(await send(book.version, RENAME)).toEqual({ is: 'trouble', trouble: 'book-changed' });
    expect(await fetchSiteBook(through(server), deskKey)).toEqual({ is: 'book', book: await bookOf(server) });
  });

  test.each([
    ['no answer', () => Promise.reject(new TypeError('fetch failed')), 'unreachable'],
    ['a proxy’s page', () => Promise.resolve(new Response('<html>')), 'not-understood'],
    ['some other JSON', () => Promise.resolve(new Response('{}')), 'not-understood'],
  ])('%s is a trouble that is told', async (_, fetch, trouble) => {
    const request = { version: 1, changes: [RENAME], by: RUTH };
    expect(await sendSiteChanges(fetch, { site: SITE, key: 'k' }, request)).toEqual({
      is: 'trouble',
      trouble,
    });
  });
});

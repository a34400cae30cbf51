/** What a new tablet is given: the pairs in the works and those touched lately, each whole, as of one position. */
import { expect, test } from 'vitest';
import { placeOf } from '../../src/domain/cursor.ts';
import { asPairId, type Cursor, type PairId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { type LedgerRecord, pairOf } from '../../src/domain/record/kinds.ts';
import { LongHere } from '../../src/server/long-here.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { pairAnswerSchema, type SnapshotAnswer, snapshotAnswerSchema } from '../../src/wire/snapshot.ts';
import { handAt, INES, LAYING, MONDAY_8, PAIR, SITE, WELTING, WLT } from '../support/builders.ts';
import { type TestBench, type TestServer, testServer } from '../support/server.ts';

const NEXT_EPOCH = '4e5f6a7b';
const LONG_AGO = MONDAY_8 - 60 * DAY_MS;
const pairNumber = (number: number): PairId => asPairId(`P${String(number).padStart(7, '0')}`);

async function hold(server: TestServer, records: readonly LedgerRecord[]): Promise<void> {
  for (const bench of new Set(records.map((record) => record.bench))) {
    const writer = { site: SITE, bench, place: 'bench' as const };
    const own = records.filter((record) => record.bench === bench);
    const answers = await server.ledger.append(writer, own, server.now);
    expect(answers.filter(({ answer }) => answer !== 'stored')).toEqual([]);
  }
}

/** The hand's next records: the pair logged, worked and sent out. */
function sentOut(hand: ReturnType<typeof handAt>, pair: PairId): readonly LedgerRecord[] {
  const logged = hand.write('pair-logged', { pair });
  const begun = hand.write('clocked-in', { pair });
  return [logged, begun, hand.write('clocked-out', { pair, of: begun.id, closes: true })];
}

async function page(tablet: TestBench, query = ''): Promise<SnapshotAnswer> {
  const answer = await tablet.get(`/api/snapshot${query}`);
  expect(answer.status).toBe(200);
  return snapshotAnswerSchema.parse(await answer.json());
}

async function allPages(tablet: TestBench, between: () => Promise<unknown> = async () => undefined) {
  const pages = [await page(tablet)];
  for (let last = pages[0]; last !== undefined && last.next !== null; last = pages.at(-1)) {
    await between();
    pages.push(await page(tablet, `?${new URLSearchParams({ at: last.at, after: last.next })}`));
  }
  return pages;
}

const pairsIn = (answers: readonly SnapshotAnswer[]) => [
  ...new Set(answers.flatMap(({ records }) => records.map(({ record }) => pairOf(record as LedgerRecord)))),
];

test('open pairs and those touched in thirty days are in it, whole; what left before and who was on are not', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  const [before, lately] = [handAt(LAYING, INES, LONG_AGO), handAt(WELTING, INES, MONDAY_8 - DAY_MS)];
  const [openLong, leftLong, leftLately] = [pairNumber(1), pairNumber(2), pairNumber(3)];
  const records = [
    before.write('pair-logged', { pair: openLong }),
    before.write('noted', { pair: openLong, text: 'torn welt' }),
    ...sentOut(before, leftLong),
    before.write('badged-on'),
    before.write('machine-stopped'),
    ...sentOut(lately, leftLately),
    lately.write('badged-off'),
  ];
  await hold(server, records);
  const [only, ...others] = await allPages(tablet);
  expect(others).toEqual([]);
  const expected = records.filter(
    (record) => record.kind === 'machine-stopped' || [openLong, leftLately].includes(pairOf(record) ?? PAIR),
  );
  const byId = (a: LedgerRecord, b: LedgerRecord) => (a.id < b.id ? -1 : 1);
  expect([...(only?.records ?? [])].map(({ record }) => record as LedgerRecord).sort(byId)).toEqual(
    [...expected].sort(byId),
  );
  expect(only?.at).toBe(only?.state.head);
});

test('pages are cut by pair, stand at one position whatever comes in meanwhile, and pulling goes on from there', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  const hand = handAt(WELTING, INES, MONDAY_8 - DAY_MS);
  const pairs = Array.from({ length: 120 }, (_, index) => pairNumber(index + 1));
  const logged = pairs.flatMap((pair) => [
    hand.write('pair-logged', { pair }),
    hand.write('noted', { pair }),
  ]);
  await hold(server, logged);
  const news: LedgerRecord[] = [];
  const answers = await allPages(tablet, async () => {
    const more = [
      hand.write('clocked-in', { pair: pairNumber(1) }),
      hand.write('clocked-in', { pair: pairNumber(120) }),
      hand.write('pair-logged', { pair: pairNumber(500 + news.length) }),
    ];
    news.push(...more);
    await hold(server, more);
  });
  expect(answers.length).toBeGreaterThan(2);
  expect(new Set(answers.map(({ at }) => at)).size).toBe(1);
  expect(pairsIn(answers)).toEqual(pairs);
  for (const answer of answers) {
    // Each pair of a page stands whole in it.
    for (const pair of pairsIn([answer]))
      expect(answer.records.filter(({ record }) => pairOf(record as LedgerRecord) === pair)).toHaveLength(2);
  }
  expect(answers.flatMap(({ records }) => records).map(({ record }) => record)).toEqual(logged);

  const at = answers[0]?.at ?? '';
  const pulled = pullAnswerSchema.parse(await (await tablet.get(`/api/pull?after=${at}`)).json());
  expect(pulled.records.map(({ record }) => record)).toEqual(news);
});

test('a pair with more records than a page has stands on one page all the same', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  const hand = handAt(WELTING, INES, MONDAY_8 - DAY_MS);
  const many = Array.from({ length: 1_600 }, () => hand.write('noted', { pair: pairNumber(2) }));
  const others = [1, 3].map((number) => hand.write('pair-logged', { pair: pairNumber(number) }));
  await hold(server, [...others, ...many]);
  expect((await allPages(tablet)).map((answer) => pairsIn([answer]))).toEqual([
    [pairNumber(1)],
    [pairNumber(2)],
    [pairNumber(3)],
  ]);
});

test('a new epoch in the middle begins anew, and so does a cursor of a ledger that was put back', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  const hand = handAt(WELTING, INES, MONDAY_8 - DAY_MS);
  const pairs = Array.from({ length: 70 }, (_, index) => pairNumber(index + 1));
  await hold(
    server,
    pairs.map((pair) => hand.write('pair-logged', { pair })),
  );
  const first = await page(tablet);
  const onward = `?${new URLSearchParams({ at: first.at, after: first.next ?? '' })}`;
  await server.ledger.startEpoch(SITE, NEXT_EPOCH);
  const anew = await page(tablet, onward);
  expect(placeOf(anew.at)).toEqual({ epoch: NEXT_EPOCH, pos: 70 });
  expect(anew.records).toEqual(first.records);
  const beyond = `?${new URLSearchParams({ at: `${NEXT_EPOCH}.71` as Cursor, after: first.next ?? '' })}`;
  expect((await page(tablet, beyond)).records).toEqual(first.records);
});

test('an empty ledger has a snapshot too', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  expect(await page(tablet)).toMatchObject({ at: expect.stringMatching(/\.0$/), records: [], next: null });
});

test('one pair is had whole, with all that came after; a pair that nobody knows has nothing', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  const records = sentOut(handAt(LAYING, INES, LONG_AGO), PAIR);
  await hold(server, records);
  const of = async (pair: PairId) => {
    const answer = await tablet.get(`/api/pair/${pair}`);
    return [answer.status, pairAnswerSchema.parse(await answer.json()).records];
  };
  expect(await of(PAIR)).toEqual([200, records.map((record, index) => ({ pos: index + 1, record }))]);
  expect(await of(pairNumber(9))).toEqual([200, []]);
});

test('without a standing key there is neither, and what is asked badly is told', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  for (const path of ['/api/snapshot', `/api/pair/${PAIR}`])
    expect((await server.fetch(path)).status).toBe(401);
  for (const path of ['/api/snapshot?at=nowhere', '/api/snapshot?after=P1', '/api/pair/nothing!'])
    expect([path, (await tablet.get(path)).status]).toEqual([path, 400]);
  await server.ledger.revokeBench(SITE, tablet.bench, server.now);
  for (const path of ['/api/snapshot', `/api/pair/${PAIR}`])
    expect((await tablet.get(path)).status).toBe(403);
});

test('a request that comes late with a standing of before costs no reading from the start', async () => {
  const server = await testServer();
  await server.enrol();
  const hand = handAt(WELTING, INES, MONDAY_8);
  await hold(server, [hand.write('pair-logged', { pair: pairNumber(1) })]);
  const stale = await server.ledger.standing(SITE, WELTING);
  await hold(server, [hand.write('pair-logged', { pair: pairNumber(2) })]);
  const fresh = await server.ledger.standing(SITE, WELTING);
  if (stale === null || fresh === null) throw new Error('no site');
  const asked: number[] = [];
  const { ledger } = server;
  const pairsTouched = ledger.pairsTouched.bind(ledger);
  ledger.pairsTouched = (site, after, upTo) => {
    asked.push(after);
    return pairsTouched(site, after, upTo);
  };
  const follower = new LongHere(ledger, SITE);
  const both = [pairNumber(1), pairNumber(2)];
  expect(await follower.pairs(fresh, new Set())).toEqual(both);
  expect(await follower.pairs(stale, new Set())).toEqual(both);
  expect(await follower.pairs(fresh, new Set())).toEqual(both);
  expect(asked).toEqual([0, 2]);
});

test('a pair that nobody touched lately is looked at once, and again when a record about it comes in', async () => {
  const server = await testServer();
  const tablet = await server.enrol();
  const hand = handAt(LAYING, INES, LONG_AGO);
  const [open, left] = [pairNumber(1), pairNumber(2)];
  await hold(server, [hand.write('pair-logged', { pair: open }), ...sentOut(hand, left)]);
  const asked: PairId[] = [];
  const recordsOfPairs = server.ledger.recordsOfPairs.bind(server.ledger);
  server.ledger.recordsOfPairs = (site, pairs, upTo) => {
    asked.push(...pairs);
    return recordsOfPairs(site, pairs, upTo);
  };
  const follower = new LongHere(server.ledger, SITE);
  const now = async () => {
    const standing = await server.ledger.standing(SITE, tablet.bench);
    if (standing === null) throw new Error('no site');
    return standing;
  };
  expect(await follower.pairs(await now(), new Set())).toEqual([open]);
  expect(await follower.pairs(await now(), new Set([open]))).toEqual([]);
  expect(asked).toEqual([open, left]);
  // A record that comes late, made as long ago as the others: the pair is back without having been touched lately.
  await hold(server, [hand.write('sent-back', { pair: left, to: WLT })]);
  expect([...(await follower.pairs(await now(), new Set()))].sort()).toEqual([open, left]);
  expect(asked).toEqual([open, left, left]);
  await server.ledger.startEpoch(SITE, NEXT_EPOCH);
  expect([...(await follower.pairs(await now(), new Set([open])))]).toEqual([left]);
  expect(asked).toEqual([open, left, left, left]);
});

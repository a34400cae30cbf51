/** The shift sheet over a real server and ledger: a shift counted by hand, its numbers opened, its persons kept to themselves. */
import { beforeEach, describe, expect, test } from 'vitest';
import { checkCharacter } from '../../src/domain/check-character.ts';
import { ALPHABET, classify } from '../../src/domain/code.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asPairId, type PairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { Personal } from '../../src/domain/site-book.ts';
import {
  behindAnswerSchema,
  forecastAnswerSchema,
  handsAnswerSchema,
  lookBackAnswerSchema,
  sheetAnswerSchema,
  shiftsAnswerSchema,
} from '../../src/wire/sheet.ts';
import { fullBook, handAt, INES, idOf, MONDAY_8, RUTH, SITE, TOMASZ, WLT } from '../support/builders.ts';
import { json, type TestBench, type TestServer, testServer } from '../support/server.ts';

const [P1, P2] = ['P7K4292W', 'P7K42M3X'].map(asPairId) as [PairId, PairId];
const CALENDAR = {
  versions: [
    {
      since: null,
      rules: [
        {
          name: 'Early',
          days: [1, 2, 3, 4, 5],
          from: '07:00',
          to: '13:00',
          breaks: [{ from: '09:00', to: '09:15' }],
        },
      ],
    },
  ],
  shut: [],
  overtime: [],
};
/** Monday 2 November 2026, 07:00 in London, which is 07:00 UTC by then. */
const SHIFT = MONDAY_8 - HOUR_MS;
/** The first badge with a serial that begins so and whose check character is one that is issued. */
function badgeOf(begins: string): string {
  const serials = [...ALPHABET].map((last) => `H${begins.padEnd(17, '2')}${last}`);
  const badge = serials
    .map((serial) => serial + checkCharacter(serial))
    .find((text) => classify(text, 'typed').kind === 'badge');
  if (badge === undefined) throw new Error(`no badge begins with ${begins}`);
  return badge;
}
const [INES_BADGE, RUTH_BADGE, NOBODYS_BADGE] = [badgeOf('ACEF'), badgeOf('HJKM'), badgeOf('NPRT')];

let server: TestServer;
let desk: TestBench;
let bench: TestBench;

async function open(personal: Personal = { figures: true, keepDays: null }): Promise<void> {
  const book = fullBook({
    personal,
    badges: [
      { hash: codeHash(INES_BADGE), operative: INES },
      { hash: codeHash(RUTH_BADGE), operative: RUTH },
    ],
  });
  server = await testServer({ book });
  await server.ledger.setCalendar(SITE, CALENDAR);
  desk = await server.enrol('desk');
  bench = await server.enrol();
  server.now = SHIFT + 6 * HOUR_MS + MINUTE_MS;
  const hand = handAt(bench.bench, INES, SHIFT + 10 * MINUTE_MS);
  const records: LedgerRecord[] = [
    hand.write('badged-on'),
    hand.write('clocked-in', { pair: P1, at: SHIFT + 20 * MINUTE_MS }),
    hand.write('clocked-in', { pair: P2, at: SHIFT + 30 * MINUTE_MS }),
    hand.write('clocked-out', { pair: P1, of: idOf(bench.bench, 2), at: SHIFT + 40 * MINUTE_MS }),
    // Over the break of a quarter of an hour.
    hand.write('clocked-out', { pair: P2, of: idOf(bench.bench, 3), at: SHIFT + 140 * MINUTE_MS }),
  ];
  expect((await bench.push(records)).status).toBe(200);
}

beforeEach(() => open());

const get = async (path: string) => (await desk.get(path)).json();
const sheetNow = async () => sheetAnswerSchema.parse(await get(`/api/sheet?shift=${SHIFT}`));
const behind = async (figure: string, of = '') =>
  behindAnswerSchema.parse(await get(`/api/sheet/behind?shift=${SHIFT}&figure=${figure}&of=${of}`));
const hands = async (badge: string) =>
  handsAnswerSchema.parse(
    await (
      await server.fetch('/api/sheet/hands', { ...json({ shift: SHIFT, badge }), key: desk.key })
    ).json(),
  );

describe('a shift counted by hand', () => {
  test('in, out and work at a stage, breaks left out and time shared between two pairs', async () => {
    const sheet = await sheetNow();
    const welt = sheet.stages.find(({ stage }) => stage === WLT);
    expect(welt).toMatchObject({ in: 2, out: 2, firstPass: 2, sentBackTo: 0, endUnknown: 0 });
    // P1: 10 alone and 10 shared, 15 min. P2: 5 of the shared ones and 100 alone less the break, 90 min.
    expect(welt?.touch).toMatchObject({ count: 2, median: 52.5 * MINUTE_MS, ninth: 90 * MINUTE_MS });
    expect(sheet).toMatchObject({
      at: SHIFT + 6 * HOUR_MS,
      handsOn: 1,
      personal: 'asked-for',
      before: SHIFT - 3 * DAY_MS,
    });
  });

  test('a number opens to its pairs and their records', async () => {
    const { members, more } = await behind('out', WLT);
    expect(more).toBe(0);
    expect(members.map(({ pair, share }) => [pair, share])).toEqual([
      [P1, 1],
      [P2, 1],
    ]);
    const kinds = members.flatMap(({ records }) => records.map((record) => (record as LedgerRecord).kind));
    expect(kinds).toContain('clocked-out');
  });

  test('what comes in late is in the sheet at the next asking', async () => {
    expect((await sheetNow()).stages.find(({ stage }) => stage === WLT)?.sentBackTo).toBe(0);
    const other = await server.enrol();
    const late = handAt(other.bench, TOMASZ, SHIFT + 3 * HOUR_MS).write('sent-back', {
      pair: P1,
      to: WLT,
      shoe: 'both',
    });
    await other.push([late]);
    const welt = (await sheetNow()).stages.find(({ stage }) => stage === WLT);
    expect(welt).toMatchObject({ out: 2, firstPass: 1, sentBackTo: 1 });
  });

  test('a shift that runs is told to the minute', async () => {
    server.now = SHIFT + 35 * MINUTE_MS + 20_000;
    expect((await sheetNow()).at).toBe(SHIFT + 35 * MINUTE_MS);
  });

  test('the weeks before are told beside it', async () => {
    const answer = lookBackAnswerSchema.parse(await get(`/api/sheet/look-back?shift=${SHIFT}`));
    expect(answer.stages.find(({ stage }) => stage === WLT)?.shifts.at(-1)).toEqual({ from: SHIFT, out: 2 });
    expect(answer.strips).toHaveLength(1);
    expect(answer.strips[0]?.spells.map(({ pair }) => pair)).toEqual([P1, P2]);
  });
});

describe('which shift', () => {
  test('the shifts that have begun are listed, the newest first', async () => {
    const { shifts } = shiftsAnswerSchema.parse(await get('/api/shifts'));
    expect(shifts.slice(0, 2).map(({ from }) => from)).toEqual([SHIFT, SHIFT - 3 * DAY_MS]);
  });

  test('where no shift began nothing is found, nor for one that is still to come', async () => {
    for (const from of [SHIFT + 1, SHIFT + DAY_MS]) {
      expect((await desk.get(`/api/sheet?shift=${from}`)).status).toBe(404);
    }
    expect((await desk.get('/api/sheet?shift=soon')).status).toBe(400);
  });

  test('a bench gets no figures', async () => {
    expect((await bench.get(`/api/sheet?shift=${SHIFT}`)).status).toBe(403);
    expect((await bench.get(`/api/sheet/look-back?shift=${SHIFT}`)).status).toBe(403);
  });
});

describe('figures about single persons', () => {
  test('are not on the sheet, and a badge that nobody holds opens none', async () => {
    expect(JSON.stringify(await sheetNow())).not.toContain(INES);
    expect(await hands(NOBODYS_BADGE)).toEqual({ is: 'unknown-badge' });
    expect(await hands('nonsense')).toEqual({ is: 'unknown-badge' });
  });

  test('a hand sees her own, a supervisor sees all', async () => {
    const own = await hands(INES_BADGE);
    if (own.is !== 'hands') throw new Error(own.is);
    expect(own.holder).toEqual({ hand: INES, name: 'Ines Okafor', all: false });
    expect(own.hands.map(({ hand, touchMs }) => [hand, touchMs])).toEqual([[INES, 105 * MINUTE_MS]]);

    const other = await server.enrol();
    await other.push([handAt(other.bench, TOMASZ, SHIFT + HOUR_MS).write('badged-on')]);
    const all = await hands(RUTH_BADGE);
    if (all.is !== 'hands') throw new Error(all.is);
    expect(all.holder.all).toBe(true);
    expect(all.hands.map(({ name }) => name)).toEqual(['Ines Okafor', 'Tomasz Lindqvist']);
    const again = await hands(INES_BADGE);
    expect(again.is === 'hands' && again.hands.map(({ hand }) => hand)).toEqual([INES]);
  });

  const opened = (badge: string, hand = INES) =>
    server.fetch('/api/sheet/behind', {
      ...json({ shift: SHIFT, badge, figure: 'hand-touch', of: hand }),
      key: desk.key,
    });

  test('a number of one person opens to that person and to a supervisor, and without a badge to nobody', async () => {
    for (const badge of [INES_BADGE, RUTH_BADGE]) {
      const { members } = behindAnswerSchema.parse(await (await opened(badge)).json());
      expect(members.map(({ pair }) => pair)).toEqual([P1, P2]);
    }
    expect((await opened(NOBODYS_BADGE)).status).toBe(403);
    expect((await opened(INES_BADGE, TOMASZ)).status).toBe(403);
    const unasked = `/api/sheet/behind?shift=${SHIFT}&figure=hand-touch&of=${INES}`;
    expect((await desk.get(unasked)).status).toBe(403);
  });

  test('a site can do without them', async () => {
    await open({ figures: false, keepDays: null });
    expect((await sheetNow()).personal).toBe('off');
    expect(await hands(RUTH_BADGE)).toEqual({ is: 'off' });
    expect((await opened(RUTH_BADGE)).status).toBe(403);
  });

  test('they lapse after the days that the site keeps them', async () => {
    await open({ figures: true, keepDays: 30 });
    server.now = SHIFT + 6 * HOUR_MS + 30 * DAY_MS;
    expect((await sheetNow()).personal).toBe('asked-for');
    server.now += 1;
    expect((await sheetNow()).personal).toBe('lapsed');
    expect(await hands(RUTH_BADGE)).toEqual({ is: 'lapsed' });
    expect((await opened(RUTH_BADGE)).status).toBe(403);
  });
});

describe('the forecast', () => {
  test('each open pair that was logged has a day, and the same question the same answer', async () => {
    const office = await server.enrol('desk');
    const logged = handAt(office.bench, RUTH, SHIFT + HOUR_MS).write('pair-logged', {
      pair: P2,
      promised: '2026-11-20',
    });
    expect((await office.push([logged])).status).toBe(200);
    const ask = async () => forecastAnswerSchema.parse(await get('/api/forecast'));
    const answer = await ask();
    // P1 was never logged: nobody knows its way.
    expect(answer.pairs.map(({ pair }) => pair)).toEqual([P2]);
    expect(answer.basis).toMatchObject({ spells: 2, runs: 1000 });
    const [only] = answer.pairs;
    expect(only?.promised).toBe('2026-11-20');
    expect((only?.early ?? '9') <= (only?.ready ?? '9') && (only?.ready ?? '9') <= (only?.late ?? '9')).toBe(
      true,
    );
    expect(await ask()).toEqual(answer);
  });
});

describe('the cache behind it', () => {
  test('after a restore everything is computed anew', async () => {
    await sheetNow();
    await server.ledger.startEpoch(SITE, '4e5f6a7b');
    expect((await sheetNow()).stages.find(({ stage }) => stage === WLT)?.out).toBe(2);
    expect((await server.ledger.factsHead(SITE))?.epoch).toBe('4e5f6a7b');
  });

  test('other rules of the way compute it anew too', async () => {
    await sheetNow();
    const before = await server.ledger.factsHead(SITE);
    await server.ledger.changeBook(SITE, (book) => ({ ...book, ways: { ...book.ways, owner: null } }));
    await sheetNow();
    expect((await server.ledger.factsHead(SITE))?.stamp).not.toBe(before?.stamp);
  });
});

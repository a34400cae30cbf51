/** A new tablet reads a snapshot and pulls on from it; a pair that is told of and not held is fetched whole first. */
import { expect, test } from 'vitest';
import { CURSOR_START, cursorAt, placeOf } from '../../src/domain/cursor.ts';
import { asPairId, type PairId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { type LedgerRecord, pairOf } from '../../src/domain/record/kinds.ts';
import { fetchPair } from '../../src/tablet/sync/fetch-pair.ts';
import { forgetOld, KEPT_DAYS } from '../../src/tablet/sync/forget-old.ts';
import type { Answer, PartsServer, SnapshotPlace } from '../../src/tablet/sync/server.ts';
import type { LedgerState } from '../../src/wire/ledger-state.ts';
import { EPOCH, handAt, INES, LAYING, MONDAY_8, WELTING } from '../support/builders.ts';
import { DATASET, type SmallServer, SyncWorld } from '../support/sync-world.ts';

const NEXT_EPOCH = '4e5f6a7b';
const [P1, P2, P3, P4] = [1, 2, 3, 4].map((number) => asPairId(`P000000${number}`)) as [
  PairId,
  PairId,
  PairId,
  PairId,
];
type NoBody = Exclude<Answer<never>, { is: 'answer' }>;
const AWAY: NoBody = { is: 'unreachable', why: 'timed-out' };

/** Hands out the small server's records a pair a page, all but what a test leaves out. */
class SmallParts implements PartsServer {
  readonly #server: SmallServer;
  readonly #instead: (NoBody | null)[] = [];
  left: readonly PairId[] = [];
  /** Runs before a page is made. */
  before: (place: SnapshotPlace | null) => void = () => undefined;

  constructor(server: SmallServer) {
    this.#server = server;
  }

  /** The next answers are these; null for the server's own. */
  instead(...answers: readonly (NoBody | null)[]): void {
    this.#instead.push(...answers);
  }

  async snapshot(place: SnapshotPlace | null) {
    this.before(place);
    const { epoch, records, log } = this.#server;
    const known = place !== null && placeOf(place.at)?.epoch === epoch ? place : null;
    const head = known === null ? records.length : (placeOf(known.at)?.pos ?? 0);
    const pairs = [
      ...new Set(records.slice(0, head).flatMap((record) => pairOf(record as LedgerRecord) ?? [])),
    ]
      .filter((pair) => !this.left.includes(pair))
      .sort();
    const at = known === null ? 0 : pairs.findIndex((pair) => pair > known.after);
    const pair = pairs[at];
    const instead = this.#instead.shift() ?? null;
    log.push(`snapshot ${pair ?? 'of nothing'}${instead === null ? '' : `: ${instead.is}`}`);
    if (instead !== null) return instead;
    return this.#answer({
      at: cursorAt({ epoch, pos: head }),
      records: this.#of(pair, head),
      next: at + 1 < pairs.length ? (pair ?? null) : null,
    });
  }

  async pair(pair: PairId) {
    const instead = this.#instead.shift() ?? null;
    this.#server.log.push(`pair ${pair}${instead === null ? '' : `: ${instead.is}`}`);
    return instead ?? this.#answer({ records: this.#of(pair, this.#server.records.length) });
  }

  #of(pair: PairId | undefined, head: number) {
    return this.#server.records
      .slice(0, head)
      .map((record, index) => ({ pos: index + 1, record }))
      .filter(({ record }) => pairOf(record as LedgerRecord) === pair);
  }

  #answer<Body>(body: Body): Answer<Body & { state: LedgerState }> {
    const { dataset, epoch, records, book } = this.#server;
    const head = cursorAt({ epoch, pos: records.length });
    const clock = { receivedAt: MONDAY_8, answeredAt: MONDAY_8 };
    const state = { dataset, epoch, head, book: book.version, heldSeq: 0, clock };
    return { is: 'answer', body: { ...body, state }, sentAt: MONDAY_8, arrivedAt: MONDAY_8 };
  }
}

function world() {
  const parts: { own: SmallParts | null } = { own: null };
  const through: PartsServer = {
    snapshot: (place, signal) => own().snapshot(place, signal),
    pair: (pair, signal) => own().pair(pair, signal),
  };
  const made = new SyncWorld({ parts: through });
  const own = () => {
    parts.own ??= new SmallParts(made.server);
    return parts.own as SmallParts & PartsServer;
  };
  const hand = handAt(LAYING, INES);
  /** Logs the pair at the server, with a note on it. */
  const logged = (...pairs: readonly PairId[]) => {
    for (const pair of pairs)
      made.server.records.push(hand.write('pair-logged', { pair }), hand.write('noted', { pair }));
  };
  return { made, parts: own(), hand, logged };
}

const held = async ({ ledger }: SyncWorld, pair: PairId) =>
  (await ledger.recordsOfPair(pair)).map(({ pos, epoch }) => [pos, epoch]);

test('a new tablet reads the snapshot, pulls on from its position, and is read in', async () => {
  const { made, parts, hand, logged } = world();
  logged(P1, P2, P3);
  parts.left = [P2];
  parts.before = (place) => {
    if (place !== null) made.server.records.push(hand.write('clocked-in', { pair: P1 }));
  };
  await made.start();
  expect(made.taken()).toEqual([`snapshot ${P1}`, `snapshot ${P3}`, 'pull after 6', 'site', 'rest 15000']);
  expect(await held(made, P1)).toEqual([
    [1, EPOCH],
    [2, EPOCH],
    [7, EPOCH],
  ]);
  expect(await held(made, P2)).toEqual([]);
  expect(await held(made, P3)).toHaveLength(2);
  expect(await made.ledger.settings()).toMatchObject({
    readIn: true,
    cursor: cursorAt({ epoch: EPOCH, pos: 7 }),
  });
  await made.end();
});

test('until the last page is written the tablet is not read in and its cursor stands at the start', async () => {
  const { made, parts, logged } = world();
  logged(P1, P2);
  parts.instead(null, AWAY);
  await made.start();
  expect(await held(made, P1)).toHaveLength(2);
  expect(await made.ledger.settings()).toMatchObject({ readIn: false, cursor: CURSOR_START });
  await made.end();
});

test('what broke off goes on where it was, and what was made meanwhile goes to the server', async () => {
  const { made, parts, logged } = world();
  logged(P1, P2, P3);
  parts.instead(null, AWAY);
  await made.start();
  const own = pairOf((await made.make(2))[0] as LedgerRecord);
  made.taken();
  await made.passRest();
  expect(made.taken()).toEqual([
    `snapshot ${P2}`,
    // Asked for while the page before it was written.
    `snapshot ${P3}`,
    'push 1-2',
    'pull after 6',
    // The bench's own clock-ins, of a pair that nobody has logged.
    `pair ${own}`,
    'site',
    'rest 15000',
  ]);
  expect((await made.ledger.settings()).readIn).toBe(true);
  await made.end();
});

test('a tablet that was switched off half-way begins anew, and has everything once', async () => {
  const { made, parts, logged } = world();
  logged(P1, P2);
  parts.instead(null, AWAY);
  await made.start();
  await made.end();
  const again = new SyncWorld({ ledger: made.ledger, server: made.server, parts });
  await again.start();
  for (const pair of [P1, P2]) expect(await held(made, pair)).toHaveLength(2);
  expect((await made.ledger.settings()).readIn).toBe(true);
  await again.end();
});

test('a new epoch in the middle begins anew, and nothing keeps a place of the one before', async () => {
  const { made, parts, logged } = world();
  logged(P1, P2, P3);
  parts.before = (place) => {
    if (place?.after === P1) made.server.epoch = NEXT_EPOCH;
  };
  await made.start();
  expect(made.taken().filter((line) => line.startsWith('snapshot'))).toEqual(
    [P1, P1, P2, P3].map((pair) => `snapshot ${pair}`),
  );
  for (const pair of [P1, P2, P3])
    expect((await held(made, pair)).map(([, epoch]) => epoch)).toEqual([NEXT_EPOCH, NEXT_EPOCH]);
  expect((await made.ledger.settings()).cursor).toBe(cursorAt({ epoch: NEXT_EPOCH, pos: 6 }));
  await made.end();
});

test('a tablet that has pulled before goes on pulling', async () => {
  const { made, logged } = world();
  logged(P1);
  await made.ledger.apply([{ pos: 1, record: made.server.records[0] }], cursorAt({ epoch: EPOCH, pos: 1 }));
  await made.start();
  expect(made.taken()).not.toContain(`snapshot ${P1}`);
  expect((await made.ledger.settings()).readIn).toBe(true);
  await made.end();
});

test('a tablet that was read in reads a restored server from the start', async () => {
  const { made, logged } = world();
  logged(P1, P2);
  await made.start();
  made.taken();
  made.server.epoch = NEXT_EPOCH;
  await made.passRest();
  expect(made.taken().some((line) => line.startsWith('snapshot'))).toBe(false);
  expect((await held(made, P1)).map(([, epoch]) => epoch)).toEqual([NEXT_EPOCH, NEXT_EPOCH]);
  await made.end();
});

test('a server that knows no snapshots is read from the start', async () => {
  const { made, parts, logged } = world();
  logged(P1);
  parts.instead({ is: 'fault', status: 404 });
  await made.start();
  expect(made.taken()).toEqual([`snapshot ${P1}: fault`, 'pull after nothing', 'site', 'rest 15000']);
  expect(await held(made, P1)).toHaveLength(2);
  await made.end();
});

test('a page that leads to itself ends the round and not the tablet', async () => {
  const { made, parts, logged } = world();
  logged(P1, P2);
  const same = await parts.snapshot(null);
  parts.snapshot = async () => same;
  await made.start();
  expect(made.loop.status.server).toEqual({ is: 'unreachable', why: 'fault' });
  await made.end();
});

test('a record about a pair that is not held brings that pair whole, before the page is written', async () => {
  const { made, parts, hand, logged } = world();
  logged(P1, P2);
  parts.left = [P2];
  await made.start();
  made.taken();
  made.server.records.push(hand.write('clocked-in', { pair: P2 }), hand.write('clocked-in', { pair: P1 }));
  logged(P3);
  parts.instead(AWAY);
  await made.passRest();
  expect(made.taken().slice(0, 2)).toEqual(['pull after 4', `pair ${P2}: unreachable`]);
  expect((await made.ledger.settings()).cursor).toBe(cursorAt({ epoch: EPOCH, pos: 4 }));
  expect([await held(made, P2), await held(made, P3)]).toEqual([[], []]);

  await made.passRest();
  // Neither the pair that is held nor the one whose logging came along is asked for.
  expect(made.taken().filter((line) => line.startsWith('pair'))).toEqual([`pair ${P2}`]);
  expect(await held(made, P2)).toEqual([
    [3, EPOCH],
    [4, EPOCH],
    [5, EPOCH],
  ]);
  expect(await held(made, P1)).toHaveLength(3);
  expect(await held(made, P3)).toHaveLength(2);
  await made.end();
});

test('a pair that was only worked here with no network is fetched whole once its record comes back', async () => {
  const { made, parts, logged } = world();
  const own = pairOf((await made.make(1))[0] as LedgerRecord);
  if (own === null) throw new Error('the record has no pair');
  logged(own);
  parts.left = [own];
  await made.start();
  expect(made.taken()).toContain(`pair ${own}`);
  expect(await held(made, own)).toHaveLength(3);
  await made.end();
});

test('a pair of a scan is fetched and kept; not where the server knows nothing, is another, or has begun anew', async () => {
  const { made, parts, logged } = world();
  logged(P1);
  await made.ledger.remember({ epoch: EPOCH });
  const never = new AbortController().signal;
  const effects = { ledger: made.ledger, parts, dataset: DATASET };
  expect(await fetchPair(effects, P1, never)).toBe(true);
  expect(await held(made, P1)).toHaveLength(2);
  expect(await fetchPair(effects, P4, never)).toBe(false);
  logged(P2, P3);
  expect(await fetchPair({ ...effects, dataset: 'another' }, P2, never)).toBe(false);
  parts.instead(AWAY);
  expect(await fetchPair(effects, P2, never)).toBe(false);
  made.server.epoch = NEXT_EPOCH;
  expect(await fetchPair(effects, P2, never)).toBe(false);
  expect(await held(made, P2)).toEqual([]);
});

test('pairs that left long ago are forgotten; open ones, later ones and what waits here are not', async () => {
  const { made } = world();
  const { ledger } = made;
  const now = MONDAY_8;
  const longAgo = handAt(LAYING, INES, now - (KEPT_DAYS + 5) * DAY_MS);
  const lately = handAt(WELTING, INES, now - (KEPT_DAYS - 5) * DAY_MS);
  const out = (hand: typeof longAgo, pair: PairId) => {
    const begun = hand.write('clocked-in', { pair });
    return [begun, hand.write('clocked-out', { pair, of: begun.id, closes: true })];
  };
  const records = [
    ...out(longAgo, P1),
    ...out(longAgo, P2),
    lately.write('noted', { pair: P2 }),
    longAgo.write('clocked-in', { pair: P3 }),
    ...out(lately, P4),
  ];
  const cursor = cursorAt({ epoch: EPOCH, pos: records.length });
  await ledger.apply(
    records.map((record, index) => ({ pos: index + 1, record })),
    cursor,
  );
  const effects = { ledger, now: () => now, sleep: async () => undefined };
  const never = new AbortController().signal;
  expect(await forgetOld(effects, never)).toBe(0);
  await ledger.remember({ readIn: true });
  expect(await forgetOld(effects, never)).toBe(1);
  const left = await Promise.all([P1, P2, P3, P4].map(async (pair) => (await held(made, pair)).length));
  expect(left).toEqual([0, 3, 1, 2]);
  expect((await ledger.settings()).forgotAt).toBe(now);
});

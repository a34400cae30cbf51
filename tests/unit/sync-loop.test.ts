/** The sync loop told as logs: what it asked the server, in order, and how long it then rested. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { asPairId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { Draft, LedgerRecord } from '../../src/domain/record/kinds.ts';
import { LedgerFailure, type LedgerTrouble, type TabletLedger } from '../../src/tablet/ledger/ledger.ts';
import { PASSED_OVER_MS } from '../../src/tablet/sync/batch.ts';
import { RECORD_BYTES_MAX } from '../../src/wire/push.ts';
import { handAt, LAYING, NOBODYS_ID, PAIR, siteBook, WELTING } from '../support/builders.ts';
import { MemoryLedger } from '../support/memory-ledger.ts';
import { SyncWorld } from '../support/sync-world.ts';

let world: SyncWorld;
beforeEach(() => {
  world = new SyncWorld();
});
afterEach(() => world.end());

/** What a tablet has after it has met its server once and has nothing to say. */
const MEETING = ['pull after nothing', 'site', 'pull after nothing', 'rest 15000'];
const waiting = async () => (await world.ledger.waiting(1000)).map(({ seq }) => seq);
const NO_NETWORK = { is: 'unreachable', why: 'no-network' } as const;
const FAULT = { is: 'fault', status: 500 } as const;

describe('the way of a record', () => {
  test('a tablet first hears whose data the server holds, and fetches the site’s book', async () => {
    await world.start();
    expect(world.taken()).toEqual(MEETING);
    expect((await world.ledger.settings()).book).toEqual(siteBook());
    expect(world.loop.status.server).toEqual({ is: 'reached' });
  });

  test('records go in sequence, are confirmed, come back with their place, and stay', async () => {
    await world.make(3);
    await world.start();
    expect(world.taken()).toEqual([
      'pull after nothing',
      'site',
      'push 1-3',
      'pull after nothing',
      'rest 15000',
    ]);
    expect(await waiting()).toEqual([]);
    expect((await world.ledger.recordsOfPair(PAIR)).map(({ pos }) => pos)).toEqual([1, 2, 3]);
  });

  test('a record made while the loop rests goes at once', async () => {
    await world.start();
    world.taken();
    await world.woken(() => world.make(1));
    expect(world.taken()).toEqual(['push 1', 'pull after nothing', 'rest 15000']);
  });

  test('a record made while the last page is on its way goes in the next round, at once', async () => {
    let pulls = 0;
    world.server.afterPull = async () => {
      pulls += 1;
      if (pulls === 2) await world.make(1);
    };
    await world.start();
    expect(world.taken()).toEqual([...MEETING.slice(0, -1), 'push 1', 'pull after nothing', 'rest 15000']);
  });

  test('more records than a batch holds go in several', async () => {
    await world.make(450);
    await world.start();
    expect(world.taken()).toEqual(expect.arrayContaining(['push 1-200', 'push 201-400', 'push 401-450']));
    expect(await waiting()).toEqual([]);
  });

  test('pages are pulled until there is no more, each by the cursor of the last', async () => {
    const hand = handAt(LAYING);
    for (let n = 0; n < 5; n += 1) world.server.records.push(hand.write('clocked-in'));
    world.server.pageMax = 2;
    await world.start();
    expect(world.taken()).toEqual([
      'pull after nothing',
      'pull after 2',
      'pull after 4',
      'site',
      'rest 15000',
    ]);
    expect((await world.ledger.recordsOfPair(PAIR)).length).toBe(5);
  });

  test('the book is fetched again when its version changes, and only then', async () => {
    await world.start();
    world.taken();
    await world.passRest();
    expect(world.taken()).toEqual(['pull after nothing', 'rest 15000']);
    world.server.book = siteBook({ version: 2, name: 'Aldermoor Bench, second floor' });
    await world.passRest();
    expect(world.taken()).toEqual(['pull after nothing', 'site', 'rest 15000']);
    expect((await world.ledger.settings()).book?.version).toBe(2);
  });
});

describe('a network that loses things', () => {
  test('a lost answer is asked for again; the server had the records and they are confirmed', async () => {
    await world.make(2);
    world.server.instead('push', 'lost');
    await world.start();
    expect(world.taken()).toEqual(['pull after nothing', 'site', 'push 1-2: lost', 'rest 1000']);
    expect(await waiting()).toEqual([1, 2]);
    await world.passRest();
    // What came back with the first pull had already been stored once, and is stored once.
    expect(world.taken()).toEqual(['pull after nothing', 'push 1-2', 'pull after 2', 'rest 15000']);
    expect(await waiting()).toEqual([]);
    expect(world.server.records.length).toBe(2);
  });

  test('waits grow to five minutes while there is no network, and begin anew after an answer', async () => {
    world.server.instead('pull', NO_NETWORK, 11);
    await world.start();
    for (let n = 0; n < 10; n += 1) await world.passRest();
    const waits = world.taken().filter((line) => line.startsWith('rest'));
    expect(waits.map((line) => Number(line.slice(5)))).toEqual([
      1000, 2000, 4000, 8000, 16_000, 32_000, 64_000, 128_000, 256_000, 300_000, 300_000,
    ]);
    expect(world.loop.status.server).toEqual({ is: 'unreachable', why: 'no-network' });
    await world.passRest();
    world.server.instead('pull', NO_NETWORK);
    world.taken();
    await world.passRest();
    expect(world.taken()).toEqual(['pull after nothing: unreachable', 'rest 1000']);
  });

  test('a new record, the network or the page being shown ends the wait', async () => {
    world.server.instead('pull', NO_NETWORK, 3);
    await world.start();
    await world.woken(() => world.make(1));
    await world.woken(() => world.loop.wake('online'));
    world.taken();
    await world.woken(() => world.loop.wake('shown'));
    expect(world.taken()).toEqual([
      'pull after nothing',
      'site',
      'push 1',
      'pull after nothing',
      'rest 15000',
    ]);
  });

  test('what wakes the loop while a request is failing is not forgotten', async () => {
    world.server.instead('pull', NO_NETWORK);
    const started = world.start();
    world.loop.wake('online');
    await started;
    expect(world.taken()).toEqual(['pull after nothing: unreachable', ...MEETING]);
  });

  test('a server that asks for time is not pressed, not even by a new record', async () => {
    await world.start();
    world.taken();
    world.server.instead('push', { is: 'busy', retryAfterMs: 60_000 });
    world.chance = 0.5;
    await world.woken(() => world.make(1));
    expect(world.taken()).toEqual(['push 1: busy', 'rest 60500']);
    expect(await world.staysAtRest(() => world.make(1))).toBe(true);
    await world.passRest();
    expect(world.taken()).toEqual(['pull after nothing', 'push 1-2', 'pull after nothing', 'rest 15000']);
  });

  test('no secure connection for minutes, though there is a network, points to the certificate', async () => {
    world.server.instead('pull', { is: 'unreachable', why: 'no-connection' }, 99);
    await world.start();
    expect(world.loop.status.server).toEqual({ is: 'unreachable', why: 'no-connection' });
    for (let n = 0; n < 8; n += 1) await world.passRest();
    expect(world.loop.status.server).toEqual({ is: 'perhaps-certificate' });
  });
});

describe('a server that says no', () => {
  test('a refused record is kept aside with its reasons and the others go on', async () => {
    world.server.refuses = ({ seq }) => (seq === 2 ? 'stage: is not known here' : null);
    await world.make(3);
    await world.start();
    expect(world.taken()).toContain('push 1-3');
    expect(await world.ledger.outbox()).toEqual({ waiting: 0, oldestAt: null, refused: 1 });
    await world.woken(() => world.make(1));
    expect(world.taken()).toEqual(['push 4', 'pull after 2', 'rest 15000']);
  });

  test('a key that is not taken pauses everything, loses nothing, and is tried again later', async () => {
    await world.make(2);
    world.server.instead('push', { is: 'not-allowed', why: 'key-revoked' });
    await world.start();
    expect(world.taken()).toEqual(['pull after nothing', 'site', 'push 1-2: not-allowed', 'rest 300000']);
    expect(world.loop.status.server).toEqual({ is: 'paused', why: 'key-revoked' });
    expect(await world.staysAtRest(() => world.make(1))).toBe(true);
    expect(await waiting()).toEqual([1, 2, 3]);
    await world.passRest();
    expect(world.taken()).toEqual(['pull after nothing', 'push 1-3', 'pull after nothing', 'rest 15000']);
    expect(world.loop.status.server).toEqual({ is: 'reached' });
  });

  test('a pause ends at once when a person asks for it', async () => {
    world.server.instead('pull', { is: 'not-allowed', why: 'no-key' });
    await world.start();
    world.taken();
    await world.woken(() => world.loop.wake('asked'));
    expect(world.taken()).toEqual(MEETING);
  });

  test('an answer about other records than were sent settles nothing', async () => {
    const [first] = await world.make(1);
    const other = new SyncWorld({
      ledger: world.ledger,
      server: {
        push: async (records, signal) => {
          const answer = await world.server.push(records);
          if (answer.is !== 'answer' || signal.aborted) return answer;
          const answers = answer.body.answers.map((one) => ({ ...one, id: `not ${one.id}` }));
          return { ...answer, body: { ...answer.body, answers } };
        },
        pull: (after) => world.server.pull(after),
        site: () => world.server.site(),
      },
    });
    await other.start();
    expect(await waiting()).toEqual([first?.seq]);
    expect(other.loop.status.server).toEqual({ is: 'unreachable', why: 'fault' });
    await other.end();
  });
});

test.each([
  ['says that there is more, and never gives it', { records: [], more: true }],
  ['gives records that have no place', { records: [{ pos: 1, record: {} }], more: false }],
])('a server that %s is asked again later, not for ever, and the loop lives on', async (_, page) => {
  const odd: SyncWorld = new SyncWorld({
    server: {
      push: (records) => odd.server.push(records),
      pull: async (after) => {
        const answer = await odd.server.pull(after);
        return answer.is === 'answer' ? { ...answer, body: { ...answer.body, ...page } } : answer;
      },
      site: () => odd.server.site(),
    },
  });
  await odd.start();
  await odd.passRest();
  expect(odd.taken()).toEqual(['pull after nothing', 'rest 1000', 'pull after nothing', 'rest 2000']);
  await odd.end();
});

describe('a record on which the server fails', () => {
  const failsOn = (...poison: readonly number[]) =>
    world.server.insteadWhen((ask, records) =>
      ask === 'push' && records.some(({ seq }) => poison.includes(seq)) ? FAULT : null,
    );

  test('is found by halving, is passed over, and stays in the outbox while all others arrive', async () => {
    failsOn(5);
    await world.make(8);
    await world.start();
    for (let n = 0; n < 6 && (await waiting()).length > 1; n += 1) await world.passRest();
    expect(world.taken().filter((line) => line.startsWith('push'))).toEqual([
      'push 1-8: fault',
      'push 1-4',
      'push 5-8: fault',
      'push 5-6: fault',
      'push 5: fault',
      'push 6',
      'push 7-8',
    ]);
    expect(await waiting()).toEqual([5]);
    expect(await world.ledger.outbox()).toMatchObject({ waiting: 1, refused: 0 });
    expect(world.loop.status.heldUp).toBe(1);
  });

  test('does not stop those behind another such record', async () => {
    failsOn(1, 2);
    await world.make(4);
    await world.start();
    for (let n = 0; n < 10 && (await waiting()).length > 2; n += 1) await world.passRest();
    expect(await waiting()).toEqual([1, 2]);
  });

  test('does not keep the tablet from pulling', async () => {
    failsOn(1);
    await world.start();
    const pair = asPairId('P7K42B3X');
    world.server.records.push(handAt(LAYING).write('clocked-in', { pair }));
    await world.woken(() => world.make(1));
    expect((await world.ledger.recordsOfPair(pair)).length).toBe(1);
  });

  test('is offered again later, alone, and once it is taken nothing is held up any more', async () => {
    let broken = true;
    world.server.insteadWhen((ask) => (ask === 'push' && broken ? FAULT : null));
    await world.make(6);
    await world.start();
    for (let n = 0; n < 20 && world.loop.status.heldUp < 6; n += 1) await world.passRest();
    expect(world.loop.status.heldUp).toBe(6);
    broken = false;
    world.taken();
    for (let n = 0; n < 40 && (await waiting()).length > 0; n += 1) await world.passRest();
    expect(world.taken().slice(-5)).toEqual([
      'push 1',
      'push 2-3',
      'push 4-6',
      'pull after nothing',
      'rest 15000',
    ]);
    expect(world.loop.status.heldUp).toBe(0);
  });

  test('a batch that is too large is halved at once; a single record that is turned away is offered again', async () => {
    let strict = true;
    world.server.insteadWhen((ask, records) =>
      strict && ask === 'push' && (records.length > 2 || records.some(({ seq }) => seq === 3))
        ? { is: 'too-large' }
        : null,
    );
    await world.make(4);
    await world.start();
    expect(world.taken().filter((line) => line.startsWith('push'))).toEqual([
      'push 1-4: too-large',
      'push 1-2',
      'push 3-4: too-large',
      'push 3: too-large',
    ]);
    expect(world.loop.status.heldUp).toBe(1);
    await world.passRest();
    expect(world.taken()).toContain('push 4');
    expect(await world.ledger.outbox()).toMatchObject({ waiting: 1, refused: 0 });
    strict = false;
    world.nowMs += PASSED_OVER_MS;
    await world.passRest();
    expect(world.taken()).toContain('push 3');
    expect(await world.ledger.outbox()).toEqual({ waiting: 0, oldestAt: null, refused: 0 });
  });

  test('a record that was passed over is offered again though the clock was put back since', async () => {
    let strict = true;
    world.server.insteadWhen((ask) => (strict && ask === 'push' ? FAULT : null));
    await world.make(1);
    await world.start();
    expect(world.loop.status.heldUp).toBe(1);
    strict = false;
    world.nowMs -= 40 * DAY_MS;
    await world.passRest();
    expect(await world.ledger.outbox()).toEqual({ waiting: 0, oldestAt: null, refused: 0 });
  });

  test('a record that is larger than the server takes is kept aside', async () => {
    world.server.insteadWhen((ask, records) =>
      ask === 'push' && records.some(({ seq }) => seq === 2) ? { is: 'too-large' } : null,
    );
    const [first] = await world.make(1);
    const { seq: _seq, seen: _seen, ...draft } = first as LedgerRecord;
    const large = { ...draft, id: NOBODYS_ID, words: 'x'.repeat(RECORD_BYTES_MAX) };
    await world.ledger.commit([large as Draft]);
    await world.start();
    expect(await world.ledger.outbox()).toEqual({ waiting: 0, oldestAt: null, refused: 1 });
  });
});

describe('a server that is another', () => {
  test('with other data is sent nothing and given nothing, and that is said', async () => {
    await world.make(2);
    world.server.dataset = 'dataset-of-elsewhere';
    world.server.records.push(handAt(LAYING).write('clocked-in'));
    await world.start();
    expect(world.taken()).toEqual(['pull after nothing']);
    expect(world.loop.status.server).toEqual({ is: 'stopped', why: 'other-dataset' });
    expect(await waiting()).toEqual([1, 2]);
    expect((await world.ledger.recordsOfPair(PAIR)).length).toBe(2);
  });

  test('put in its place while the tablet was away is noticed before anything is sent', async () => {
    await world.start();
    world.server.instead('pull', NO_NETWORK);
    await world.passRest();
    world.server.dataset = 'dataset-of-elsewhere';
    world.taken();
    await world.woken(() => world.make(1));
    expect(world.taken()).toEqual(['pull after nothing']);
  });

  test('restored from a backup gets what it lost again, and is read from the start', async () => {
    await world.make(5);
    await world.start();
    world.server.records.push(handAt(LAYING).write('clocked-in'));
    await world.passRest();
    world.taken();
    world.server.epoch = '4e5f6a7b';
    world.server.records.splice(2);
    await world.passRest();
    expect(world.taken()).toEqual(['pull after 6', 'push 3-5', 'pull after 2', 'rest 15000']);
    expect(await waiting()).toEqual([]);
    expect((world.server.records as { seq: number }[]).map(({ seq }) => seq)).toEqual([1, 2, 3, 4, 5]);
    const held = await world.ledger.recordsOfPair(PAIR);
    // The other bench's record was lost there and is its own tablet's to offer; here it keeps the old place.
    expect(held.map(({ pos, epoch }) => `${epoch} ${pos}`).sort()).toEqual([
      '0a1b2c3d 6',
      '4e5f6a7b 1',
      '4e5f6a7b 2',
      '4e5f6a7b 3',
      '4e5f6a7b 4',
      '4e5f6a7b 5',
    ]);
  });

  test('restored from a backup gets what it lost even where a new record reached it first', async () => {
    await world.make(5);
    await world.start();
    world.taken();
    world.server.epoch = '4e5f6a7b';
    world.server.records.splice(2);
    await world.woken(() => world.make(1));
    expect(world.taken()).toEqual(['push 6', 'pull after nothing', 'push 3-5', 'pull after 3', 'rest 15000']);
    const seqs = (world.server.records as { seq: number }[]).map(({ seq }) => seq);
    expect(seqs.sort()).toEqual([1, 2, 3, 4, 5, 6]);
  });

  test('set back by hand, without a new epoch, gets what it lost again', async () => {
    await world.make(3);
    await world.start();
    world.taken();
    world.server.records.splice(1);
    await world.passRest();
    expect(world.taken()).toEqual(['pull after 3', 'push 2-3', 'pull after 3', 'rest 15000']);
    expect((world.server.records as { seq: number }[]).map(({ seq }) => seq)).toEqual([1, 2, 3]);
  });

  test('that keeps losing the same records is not believed twice', async () => {
    await world.make(3);
    await world.start();
    world.taken();
    world.server.afterPull = async () => {
      world.server.records.splice(1);
    };
    for (let n = 0; n < 5; n += 1) await world.passRest();
    expect(world.taken().filter((line) => line.startsWith('push'))).toEqual(['push 2-3']);
  });
});

test('a store that cannot be used is said, and the loop goes on when it can', async () => {
  const troubled = new (class extends MemoryLedger {
    trouble: LedgerTrouble | null = 'full';
    override apply(...page: Parameters<TabletLedger['apply']>) {
      return this.trouble === null ? super.apply(...page) : Promise.reject(new LedgerFailure(this.trouble));
    }
  })();
  const full = new SyncWorld({ ledger: troubled });
  full.server.records.push(handAt(LAYING).write('clocked-in'));
  await full.start();
  expect(full.loop.status).toMatchObject({ ledger: 'full', server: { is: 'not-tried' } });
  troubled.trouble = null;
  await full.passRest();
  expect(full.loop.status).toMatchObject({ ledger: null, server: { is: 'reached' } });
  expect((await troubled.recordsOfPair(PAIR)).length).toBe(1);
  await full.end();
});

describe('the clock', () => {
  test('its offset is measured on each exchange, kept, and the last exchange told in corrected time', async () => {
    world.server.offsetMs = 90_000;
    await world.start();
    expect(world.clock.wall()).toEqual({ ms: world.nowMs, offsetMs: 90_000, known: true });
    expect(world.loop.status.clockOffset?.offsetMs).toBe(90_000);
    expect(world.loop.status.lastExchangeAt).toBe(world.nowMs + 90_000);
    expect((await world.ledger.settings()).offsets.at(-1)).toEqual({ offsetMs: 90_000, delayMs: 0 });
  });
});

test('records of this bench that the server holds and this store does not have use up their numbers', async () => {
  world.server.records.push(handAt(WELTING).write('clocked-in', { seq: 40, v: 1 }));
  await world.start();
  expect((await world.make(1)).map(({ seq }) => seq)).toEqual([41]);
});

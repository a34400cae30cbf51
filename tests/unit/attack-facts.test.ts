/** The cache of facts when two processes begin it at once, and who may open the numbers of one person. */
import { expect, test } from 'vitest';
import { issueTicket } from '../../src/domain/code.ts';
import type { PairId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import type { Personal } from '../../src/domain/site-book.ts';
import type { ServerLedger, Standing } from '../../src/server/ledger/ledger.ts';
import { FactsFollower } from '../../src/server/sheet/facts-follower.ts';
import { EPOCH, fullBook, handAt, INES, MONDAY_8, SITE } from '../support/builders.ts';
import { testServer } from '../support/server.ts';

/** More than are kept in one transaction. */
const PAIRS = 450;

function tickets(many: number): readonly PairId[] {
  const pairs: PairId[] = [];
  for (let counter = 0; pairs.length < many; ) {
    const { pair, next } = issueTicket(7, counter);
    pairs.push(pair);
    counter = next;
  }
  return pairs;
}

async function withCalendar(personal: Personal = { figures: true, keepDays: null }) {
  const server = await testServer({ book: fullBook({ personal }) });
  const rule = { name: 'Day', days: [1, 2, 3, 4, 5, 6, 7], from: '08:00', to: '16:00', breaks: [] };
  await server.ledger.setCalendar(SITE, {
    versions: [{ since: null, rules: [rule] }],
    shut: [],
    overtime: [],
  });
  const [desk, bench] = [await server.enrol('desk'), await server.enrol()];
  return { server, ledger: server.ledger, desk, bench };
}

function gate(): { readonly opened: Promise<void>; readonly open: () => void } {
  let open: () => void = () => undefined;
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { opened, open };
}

/** The ledger, with `when` around every keeping of facts. */
function keeping(
  ledger: ServerLedger,
  when: (keep: () => Promise<boolean>) => Promise<boolean>,
): ServerLedger {
  return new Proxy(ledger, {
    get(target, name) {
      if (name === 'keepFacts')
        return (...told: Parameters<ServerLedger['keepFacts']>) => when(() => target.keepFacts(...told));
      const member: unknown = Reflect.get(target, name);
      return typeof member === 'function' ? member.bind(target) : member;
    },
  });
}

function once(act: () => Promise<void>): () => Promise<void> {
  let done: Promise<void> | null = null;
  return () => {
    done ??= act();
    return done;
  };
}

test('two processes that begin the cache at different heads leave nothing stale in it', async () => {
  const server = await testServer({ book: fullBook() });
  const { ledger } = server;
  const bench = await server.enrol();
  const hand = handAt(bench.bench, INES, MONDAY_8);
  const begun = tickets(PAIRS).map((pair) => hand.write('clocked-in', { pair }));
  for (let from = 0; from < begun.length; from += 100) await bench.push(begun.slice(from, from + 100));
  const standing = async (): Promise<Standing> => {
    const now = await ledger.standing(SITE, bench.bench);
    if (now === null) throw new Error('no standing');
    return now;
  };
  const book = await ledger.book(SITE);
  if (book === null) throw new Error('no book');
  const early = await standing();
  const ended = begun.map(({ id, pair }) =>
    hand.write('clocked-out', { pair, of: id, at: MONDAY_8 + HOUR_MS }),
  );
  for (let from = 0; from < ended.length; from += 100) await bench.push(ended.slice(from, from + 100));
  const late = await standing();

  // The slower one keeps its first pairs, computed from the records of before, after the faster one has kept them.
  const [fastKept, slowKept, fastThrough] = [gate(), gate(), gate()];
  let times = 0;
  const slow = keeping(ledger, async (keep) => {
    times += 1;
    await (times === 1 ? fastKept : fastThrough).opened;
    const kept = await keep();
    slowKept.open();
    return kept;
  });
  const fast = keeping(ledger, async (keep) => {
    const kept = await keep();
    fastKept.open();
    await slowKept.opened;
    return kept;
  });
  await Promise.all([
    new FactsFollower(slow, SITE).upTo(early, book),
    new FactsFollower(fast, SITE).upTo(late, book).then(fastThrough.open),
  ]);

  const facts = (await ledger.factsBetween(SITE, 0, Number.MAX_SAFE_INTEGER)).map((json) => JSON.parse(json));
  expect(facts).toHaveLength(PAIRS);
  expect(facts.filter(({ spells }) => spells[0].outcome !== 'done')).toEqual([]);
});

test('a sheet read while another process begins the cache anew is whole', async () => {
  const { ledger, server, desk, bench } = await withCalendar();
  const hand = handAt(bench.bench, INES, MONDAY_8);
  await bench.push([hand.write('clocked-in')]);
  const anew = once(async () => {
    const at = await ledger.factsHead(SITE);
    await ledger.beginFacts(SITE, at, { epoch: EPOCH, stamp: 'other rules' });
  });
  ledger.factsBetween = async (...told) => {
    await anew();
    return factsBetween.call(ledger, ...told);
  };
  const { factsBetween } = Object.getPrototypeOf(ledger) as ServerLedger;
  server.now = MONDAY_8 + HOUR_MS;
  const sheet = await (await desk.get(`/api/sheet?shift=${MONDAY_8}`)).json();
  expect(sheet.line.inWork).toBe(1);
});

/** Behind a proxy that gathers answers no live stream arrives: what others record comes by asking, what is recorded here goes. */
import { type Browser, expect } from 'playwright/test';
import type { PairId } from '../../src/domain/ids.ts';
import { POLL_MS } from '../../src/tablet/sync/loop.ts';
import { test } from '../support/bench-test.ts';
import { type BufferingProxy, startBufferingProxy } from '../support/buffering-proxy.ts';
import { WLT } from '../support/builders.ts';
import type { Site } from '../support/site.ts';
import { recordsOfBench } from '../support/sqlite-client.ts';
import { Tablet } from '../support/tablet.ts';
import { watchFor } from '../support/watch.ts';

/** What a busy machine may need beside the waiting itself. */
const SLACK_MS = 6_000;
/** A browser opens six connections to a host at most (HTTP/1.1); one that a stream holds is not to use them up. */
const CONNECTIONS_MAX = 6;
/** Long enough to be asked for again, short enough for a test. */
const GIVES_UP_MS = 6_000;

const PROXIES = [
  { holds: 'answers', name: 'Behind whole answers', patienceMs: GIVES_UP_MS },
  { holds: 'bodies', name: 'Behind held bodies' },
] as const;

test('others’ records come within a poll, own records go at once, and streams do not pile up', async ({
  rack,
  browser,
  ownSite: site,
}) => {
  await site.start();
  const tickets = [await site.logPair(), await site.logPair(), await site.logPair()] as const;
  const proxies = await Promise.all(
    PROXIES.map(({ name: _name, ...how }) => startBufferingProxy({ to: () => site.url, ...how })),
  );
  const troubles: string[] = [];
  try {
    const inFront = await rack.open({ site, name: 'In front' });
    const behind = await Promise.all(
      proxies.map((proxy, place) =>
        openBehind({ browser, proxy, site, name: PROXIES[place]?.name ?? '', troubles }),
      ),
    );
    const tablets = [inFront, ...behind];
    for (const tablet of tablets) await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
    for (const tablet of behind) await tablet.allSent();

    const [ticket, ...own] = tickets;
    const pos = await clockIn(inFront, ticket, site, 'In front');
    // Each pushes on the way, and hears of nobody by it: what it asks for next, it asks for by the clock.
    await Promise.all(behind.map((tablet) => tablet.untilHeard(pos, POLL_MS + SLACK_MS)));

    for (const [place, tablet] of behind.entries()) {
      const pair = own[place] ?? ticket;
      await tablet.wedgeUntil(pair, pair, /^Clocked in/);
      await tablet.allSent(SLACK_MS);
      const stored = await recordsOfBench(site.ledgerFile, PROXIES[place]?.name ?? '');
      expect(stored.map(({ seq }) => seq)).toEqual([1, 2, 3]);
      expect(stored.at(-1)).toMatchObject({ kind: 'clocked-in', record: { pair } });
    }
    const [givesUp] = proxies;
    await expect.poll(() => givesUp?.streams.asked).toBeGreaterThan(1);
    for (const proxy of proxies) {
      expect(proxy.streams.most).toBe(1);
      expect(proxy.connections).toBeLessThanOrEqual(CONNECTIONS_MAX);
    }
    await Promise.all(behind.map((tablet) => tablet.context.close()));
    expect(troubles).toEqual([]);
  } finally {
    await Promise.all(proxies.map((proxy) => proxy.close()));
  }
});

/** @returns the position of the clock-in in the server's ledger */
async function clockIn(tablet: Tablet, ticket: PairId, site: Site, name: string): Promise<number> {
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await tablet.allSent();
  return (await recordsOfBench(site.ledgerFile, name)).at(-1)?.pos ?? Infinity;
}

interface Behind {
  readonly browser: Browser;
  readonly proxy: BufferingProxy;
  readonly site: Site;
  readonly name: string;
  readonly troubles: string[];
}

/** A tablet for which the proxy's address is the server's. */
async function openBehind({ browser, proxy, site, name, troubles }: Behind): Promise<Tablet> {
  const context = await browser.newContext({ hasTouch: true, viewport: { width: 1280, height: 800 } });
  await watchFor(troubles, context, proxy.url);
  const page = await context.newPage();
  const tablet = new Tablet(page, await context.newCDPSession(page));
  await page.goto(`${proxy.url}/bench#setup=${await site.setUpCode(name, [WLT])}`);
  await tablet.allSent();
  return tablet;
}

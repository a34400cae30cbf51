/** Where the browser has background sync, what waits on a tablet that was put away goes without its being opened again. */
import { type CDPSession, expect, type Page } from 'playwright/test';
import { OUTBOX_TAG } from '../../src/tablet/device/background-sync.ts';
import { test } from '../support/bench-test.ts';
import type { Site } from '../support/site.ts';
import { recordsOfBench } from '../support/sqlite-client.ts';
import type { Tablet } from '../support/tablet.ts';
import { countWaiting } from '../support/tablet-page.ts';
import type { TabletRack } from '../support/tablet-rack.ts';

test('closed with a record waiting, the tablet asks to be woken; woken, its service worker sends it, once', async ({
  rack,
  ownSite: site,
}) => {
  const { tablet, bare, wake, fromWorker } = await atWork(rack, site, 'Put away');
  const ticket = await site.logPair();
  await site.kill();
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await tablet.page.evaluate(hide);
  await expect.poll(() => bare.evaluate(tagsAsked)).toEqual([OUTBOX_TAG]);
  await tablet.page.close();
  // Not reached: nothing is lost by having been woken in vain, and the browser keeps the wish.
  await wake();
  await bare.waitForTimeout(2_000);
  expect(await bare.evaluate(countWaiting)).toBe(1);

  await site.start();
  await wake();
  await expect.poll(() => bare.evaluate(countWaiting), { timeout: 20_000 }).toBe(0);
  expect(fromWorker).toContain('/api/push');
  expect(await kindsAt(site, 'Put away')).toEqual(['1 bench-set', '2 badged-on', '3 clocked-in']);
});

test('woken while a window talks to the server, the service worker leaves it to the window', async ({
  rack,
  ownSite: site,
}) => {
  const { tablet, wake, fromWorker } = await atWork(rack, site, 'Woken at work');
  const ticket = await site.logPair();
  await site.kill();
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await site.start();
  await wake();
  await tablet.page.evaluate(() => window.dispatchEvent(new Event('online')));
  await tablet.allSent(30_000);
  expect(fromWorker).toEqual([]);
  expect(await kindsAt(site, 'Woken at work')).toEqual(['1 bench-set', '2 badged-on', '3 clocked-in']);
});

/** Ines is on; beside the bench a window of its origin with nothing of the app in it. */
async function atWork(rack: TabletRack, site: Site, name: string) {
  await site.start();
  // A private window is not woken.
  const tablet = await rack.open({ site, name, profile: await rack.newFolder() });
  // A driven browser denies what it was not told to grant.
  await tablet.context.grantPermissions(['background-sync']);
  await tablet.installed();
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.allSent();
  const bare = await bareWindow(tablet, site);
  const fromWorker: string[] = [];
  tablet.context.on('request', (request) => {
    const { pathname } = new URL(request.url());
    if (request.serviceWorker() !== null && pathname.startsWith('/api/')) fromWorker.push(pathname);
  });
  const wake = await waker(await tablet.context.newCDPSession(bare), site.url);
  return { tablet, bare, wake, fromWorker };
}

async function bareWindow({ context, page }: Tablet, { url }: Site): Promise<Page> {
  const bare = await context.newPage();
  await bare.goto(`${url}/api/health`);
  await page.bringToFront();
  return bare;
}

/** As the browser does when there is a network again. */
async function waker(session: CDPSession, origin: string): Promise<() => Promise<void>> {
  const registered = new Promise<string>((resolve) => {
    session.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
      const [own] = registrations.filter(({ scopeURL }) => scopeURL.startsWith(origin));
      if (own !== undefined) resolve(own.registrationId);
    });
  });
  await session.send('ServiceWorker.enable');
  const registrationId = await registered;
  return async () => {
    const event = { origin, registrationId, tag: OUTBOX_TAG, lastChance: false };
    await session.send('ServiceWorker.dispatchSyncEvent', event);
  };
}

/** Runs in the page: as when another app comes to the front, which a browser that is driven never sees. */
function hide(): void {
  Object.defineProperty(document, 'visibilityState', { get: () => 'hidden' });
  document.dispatchEvent(new Event('visibilitychange'));
}

/** Runs in the page. */
async function tagsAsked(): Promise<readonly string[]> {
  const registration = (await navigator.serviceWorker.getRegistration('/')) as
    | (ServiceWorkerRegistration & { readonly sync: { getTags(): Promise<string[]> } })
    | undefined;
  return (await registration?.sync.getTags()) ?? [];
}

async function kindsAt(site: Site, name: string): Promise<readonly string[]> {
  return (await recordsOfBench(site.ledgerFile, name)).map(({ seq, kind }) => `${seq} ${kind}`);
}

/** The tablet's store is of another version than the app: an old window holds it, or a newer app has been here. */
import { expect, type Page } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { bench, broken } from '../../src/words/bench.ts';
import { test } from '../support/bench-test.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { makeNewer, readNewer, setBackAndHold } from '../support/store-versions.ts';
import { Tablet } from '../support/tablet.ts';

/** Many times what an old window is given to close. */
const STAYS_OPEN_MS = 7_000;

test('an old window that holds the store: the page says which to close, and goes on by itself once it is', async ({
  rack,
  site,
}) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Old window' });
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await tablet.allSent();
  const old = await bareWindow(tablet, site);
  await tablet.page.close();
  await old.evaluate(setBackAndHold);

  const after = await windowOf(tablet, site);
  const inTheWay = broken['blocked-by-old-window'];
  await expect(after.says).toHaveText(inTheWay?.says ?? '');
  await expect(after.next).toHaveText(inTheWay?.next ?? '');
  // It goes on saying so, and pretends nothing.
  await after.page.waitForTimeout(STAYS_OPEN_MS);
  await expect(after.says).toHaveText(inTheWay?.says ?? '');

  await old.close();
  await expect(after.who).toContainText('Ines Okafor');
  await expect(after.openHere).toContainText(inGroups(ticket).join(''));
  await after.wedge(ticket);
  await after.expectClockedOut();
  await after.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Old window');
  expect(stored.map(({ seq, kind }) => [seq, kind])).toEqual([
    [1, 'bench-set'],
    [2, 'badged-on'],
    [3, 'clocked-in'],
    [4, 'clocked-out'],
  ]);
  expect(onlyOne(stored, 'clocked-out').of).toBe(onlyOne(stored, 'clocked-in').id);
});

test('a newer app has been here: this one works on over its store, and keeps what waits and what it does not know', async ({
  rack,
  ownSite: site,
}) => {
  await site.start();
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Newer store' });
  await tablet.installed();
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.allSent();
  const bare = await bareWindow(tablet, site);
  await site.kill();
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await tablet.page.close();
  const version = await bare.evaluate(makeNewer);

  const after = await windowOf(tablet, site);
  await expect(after.who).toContainText('Ines Okafor');
  await expect(after.openHere).toContainText(inGroups(ticket).join(''));
  await after.wedge(ticket);
  await after.expectClockedOut();
  await after.wedge(site.badges.ines);
  await expect(after.says).toHaveText(bench.badgedOff('Ines Okafor').says);

  await site.start();
  await after.page.evaluate(() => window.dispatchEvent(new Event('online')));
  await after.allSent(30_000);
  const stored = await recordsOfBench(site.ledgerFile, 'Newer store');
  expect(stored.map(({ seq, kind }) => [seq, kind])).toEqual([
    [1, 'bench-set'],
    [2, 'badged-on'],
    [3, 'clocked-in'],
    [4, 'clocked-out'],
    [5, 'badged-off'],
  ]);
  expect(await bare.evaluate(readNewer)).toEqual({
    version,
    soles: [{ name: 'oak bark', thickness: 5 }],
  });
});

/** A window of the tablet with the bench in it. */
async function windowOf({ context }: Tablet, { url }: Site): Promise<Tablet> {
  const page = await context.newPage();
  const tablet = new Tablet(page, await context.newCDPSession(page));
  await page.goto(`${url}/bench`);
  return tablet;
}

/** A window of the app's origin with nothing of the app in it. */
async function bareWindow({ context }: Tablet, { url }: Site): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${url}/api/health`);
  return page;
}

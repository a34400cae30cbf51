/** A new version comes while a bench is at work: it waits, and nothing is lost when it is taken. */
import { expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { actions } from '../../src/words/bench.ts';
import { settingsWords } from '../../src/words/settings.ts';
import { test } from '../support/bench-test.ts';
import { copyPages, makeNextVersion } from '../support/built-pages.ts';
import { recordsOfBench } from '../support/sqlite-client.ts';
import type { Tablet } from '../support/tablet.ts';

/** The bench looks each second whether it may take a new version. */
const LONG_ENOUGH_MS = 4_000;
const VERSION = 'meta[name="version"]';

for (const visit of ['first', 'later'] as const) {
  test(`on its ${visit} visit a new version waits while somebody is on, and is taken when nobody is`, async ({
    rack,
    ownSite: site,
  }) => {
    const pages = await rack.newFolder();
    await copyPages(pages);
    await site.start({ pages });
    const ticket = await site.logPair();
    const tablet = await rack.open({ site, name: 'Updated' });
    await tablet.installed();
    // Only a page that was loaded after the installation is served by what was installed.
    if (visit === 'later') await tablet.page.reload();
    await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
    await tablet.wedge(ticket);
    await tablet.expectClockedIn();
    const sameDocument = await markDocument(tablet);

    await makeNextVersion(pages, 'next');
    await lookForNewVersion(tablet);
    await tablet.page.waitForTimeout(LONG_ENOUGH_MS);
    expect(await sameDocument()).toBe(true);
    await tablet.expectClockedIn();
    await expect(tablet.page.locator('h2.code')).toHaveText(inGroups(ticket).join(''));

    await tablet.wedge(ticket);
    await tablet.expectClockedOut();
    // A record that the server has not had yet is not lost with the old page.
    await site.kill();
    await tablet.wedge(site.badges.ines);
    await expect(tablet.who).not.toContainText('Ines Okafor');
    await expect(tablet.page.locator(VERSION)).toHaveAttribute('content', 'next', { timeout: 15_000 });
    expect(await sameDocument()).toBe(false);

    await site.start({ pages });
    await tablet.page.evaluate(() => window.dispatchEvent(new Event('online')));
    await tablet.allSent(30_000);
    const stored = await recordsOfBench(site.ledgerFile, 'Updated');
    expect(stored.map(({ kind, seq }) => [seq, kind])).toEqual([
      [1, 'bench-set'],
      [2, 'badged-on'],
      [3, 'clocked-in'],
      [4, 'clocked-out'],
      [5, 'badged-off'],
    ]);
  });
}

test('the operative can take it at once from the settings, and is still on after it', async ({
  rack,
  ownSite: site,
}) => {
  const pages = await rack.newFolder();
  await copyPages(pages);
  await site.start({ pages });
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Updated at once' });
  await tablet.installed();
  await tablet.page.reload();
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await makeNextVersion(pages, 'next');
  await lookForNewVersion(tablet);
  await tablet.kept.tap();
  await expect(tablet.page.locator('.settings')).toContainText(settingsWords.version);
  await tablet.tap(actions.updateNow);
  await expect(tablet.page.locator(VERSION)).toHaveAttribute('content', 'next', { timeout: 15_000 });
  await expect(tablet.who).toContainText('Ines Okafor');
  await expect(tablet.openHere).toContainText(inGroups(ticket).join(''));
});

/** Whether the page is still the one that it was. */
async function markDocument({ page }: Tablet): Promise<() => Promise<boolean>> {
  await page.evaluate(() => document.body.setAttribute('data-marked', ''));
  return () => page.evaluate(() => document.body.hasAttribute('data-marked'));
}

/** As when the tablet is taken up again, and until the new version has been fetched. */
async function lookForNewVersion({ page }: Tablet): Promise<void> {
  await page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    const fetched = new Promise<void>((resolve) => {
      registration.addEventListener('updatefound', () => {
        const { installing } = registration;
        installing?.addEventListener('statechange', () => {
          if (installing.state === 'installed') resolve();
        });
      });
    });
    document.dispatchEvent(new Event('visibilitychange'));
    await fetched;
  });
}

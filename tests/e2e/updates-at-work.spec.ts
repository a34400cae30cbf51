/** A new version comes while something is half done: it waits for that too, in this window and in another. */
import { expect } from 'playwright/test';
import { actions, bench } from '../../src/words/bench.ts';
import { yesLabels } from '../../src/words/questions.ts';
import { asked } from '../support/asked.ts';
import { test } from '../support/bench-test.ts';
import { copyPages, makeNextVersion } from '../support/built-pages.ts';
import { beginNote, defectsIn } from '../support/note-form.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { Tablet } from '../support/tablet.ts';
import type { TabletRack } from '../support/tablet-rack.ts';

/** The bench looks each second whether it may take a new version. */
const LONG_ENOUGH_MS = 4_000;
const VERSION = 'meta[name="version"]';
const again = yesLabels['done-already'] ?? '';

test('with a question open, a new version waits; answered, the pair is clocked in by the page that asked', async ({
  rack,
  ownSite: site,
}) => {
  const { tablet, pages, ticket } = await atWork(rack, site, 'Asked meanwhile');
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await tablet.wedgeUntil(ticket, ticket, /^Clocked out/);
  await tablet.wedge(ticket);
  const question = asked('done-already', { stage: 'Welt sewing' }).says;
  await expect(tablet.says).toHaveText(question);
  await markDocument(tablet);

  await nextVersionComes(tablet, pages);
  await tablet.page.waitForTimeout(LONG_ENOUGH_MS);
  expect(await isSameDocument(tablet)).toBe(true);
  await expect(tablet.says).toHaveText(question);
  await tablet.tap(again);
  await tablet.expectClockedIn();
  await tablet.page.waitForTimeout(LONG_ENOUGH_MS);
  expect(await isSameDocument(tablet)).toBe(true);
  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Asked meanwhile');
  expect(stored.map(({ seq, kind }) => [seq, kind])).toEqual([
    [1, 'bench-set'],
    [2, 'badged-on'],
    [3, 'clocked-in'],
    [4, 'clocked-out'],
    [5, 'clocked-in'],
  ]);
});

test('taken in another window of the tablet, it reloads no window in which a note is half made', async ({
  rack,
  ownSite: site,
}) => {
  const { tablet, pages, ticket } = await atWork(rack, site, 'Two windows');
  const other = await secondWindow(tablet, site);
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await beginNote(tablet);
  await markDocument(tablet);
  await nextVersionComes(tablet, pages);
  await other.kept.tap();
  await other.tap(actions.updateNow);
  await expect(other.page.locator(VERSION)).toHaveAttribute('content', 'next', { timeout: 15_000 });

  await tablet.page.waitForTimeout(LONG_ENOUGH_MS);
  expect(await isSameDocument(tablet)).toBe(true);
  await defectsIn(tablet).first().tap();
  await expect(tablet.says).toHaveText(/^Noted/);
  await tablet.wedgeUntil(ticket, ticket, /^Clocked out/);
  // When nobody is on any more, this window follows.
  await tablet.wedge(site.badges.ines);
  await expect(tablet.page.locator(VERSION)).toHaveAttribute('content', 'next', { timeout: 15_000 });
  await tablet.allSent(30_000);
  const stored = await recordsOfBench(site.ledgerFile, 'Two windows');
  expect(stored.map(({ kind }) => kind)).toEqual([
    'bench-set',
    'badged-on',
    'clocked-in',
    'noted',
    // Whoever made it has seen it.
    'note-seen',
    'clocked-out',
    'badged-off',
  ]);
  expect(onlyOne(stored, 'noted')).toMatchObject({ pair: ticket, shoe: 'left' });
});

/** On its second visit, so that what was installed serves it; Ines is on. */
async function atWork(rack: TabletRack, site: Site, name: string) {
  const pages = await rack.newFolder();
  await copyPages(pages);
  await site.start({ pages });
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name });
  await tablet.installed();
  await tablet.page.reload();
  await expect(tablet.says).toHaveText(bench.nobodyOn.says);
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  return { tablet, pages, ticket };
}

async function secondWindow({ context, page }: Tablet, { url }: Site): Promise<Tablet> {
  const opened = await context.newPage();
  const other = new Tablet(opened, await context.newCDPSession(opened));
  await opened.goto(`${url}/bench`);
  await expect(other.who).toContainText('Ines Okafor');
  await page.bringToFront();
  return other;
}

async function markDocument({ page }: Tablet): Promise<void> {
  await page.evaluate(() => document.body.setAttribute('data-marked', ''));
}

function isSameDocument({ page }: Tablet): Promise<boolean> {
  return page.evaluate(() => document.body.hasAttribute('data-marked'));
}

/** Published, noticed as when the tablet is taken up again, and fetched. */
async function nextVersionComes({ page }: Tablet, pages: string): Promise<void> {
  await makeNextVersion(pages, 'next');
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  await page.waitForFunction(async () => (await navigator.serviceWorker.ready).waiting !== null);
}

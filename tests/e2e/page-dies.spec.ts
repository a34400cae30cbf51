/** The page dies or sleeps with work in hand: what was shown as recorded stands, what was only begun is not recorded. */
import { type Browser, expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { test } from '../support/bench-test.ts';
import { beginNote, defectsIn } from '../support/note-form.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { Tablet } from '../support/tablet.ts';
import type { TabletRack } from '../support/tablet-rack.ts';

const ASLEEP_MS = 5_000;

test('a page that crashes with a pair clocked in and a note half made: opened again, the pair is clocked in, once', async ({
  rack,
  ownSite: site,
}) => {
  const { tablet, ticket } = await atWork(rack, site, 'Crashed');
  // What it recorded last has not got away yet.
  await site.kill();
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await beginNote(tablet);
  const crashed = new Promise((resolve) => tablet.page.once('crash', resolve));
  const session = await tablet.context.newCDPSession(tablet.page);
  session.send('Page.crash').catch(() => undefined);
  await crashed;

  const page = await tablet.context.newPage();
  const after = new Tablet(page, await tablet.context.newCDPSession(page));
  await page.goto(`${site.url}/bench`);
  await expect(after.who).toContainText('Ines Okafor');
  await expect(after.openHere).toHaveCount(1);
  await expect(after.openHere).toContainText(inGroups(ticket).join(''));
  await expect(after.kept).toContainText('1 record kept here');
  await site.start();
  await page.evaluate(() => window.dispatchEvent(new Event('online')));
  await after.allSent(30_000);
  await after.wedge(ticket);
  await after.expectClockedOut();
  await after.allSent();
  await expectOneSpell(site, 'Crashed');
});

test('a page that is put to sleep with a note half made: woken, it stands as it was, sends what waits and goes on', async ({
  rack,
  browser,
  ownSite: site,
}) => {
  const others = await renderersOf(browser);
  const { tablet, ticket } = await atWork(rack, site, 'Asleep');
  const own = (await renderersOf(browser)).filter((pid) => !others.includes(pid));
  expect(own.length).toBeGreaterThan(0);
  await site.kill();
  await tablet.wedgeUntil(ticket, ticket, /^Clocked in/);
  await beginNote(tablet);
  for (const pid of own) process.kill(pid, 'SIGSTOP');
  try {
    await site.start();
    await new Promise((resolve) => setTimeout(resolve, ASLEEP_MS));
    expect((await recordsOfBench(site.ledgerFile, 'Asleep')).map(({ kind }) => kind)).toEqual([
      'bench-set',
      'badged-on',
    ]);
  } finally {
    for (const pid of own) process.kill(pid, 'SIGCONT');
  }

  await expect(defectsIn(tablet).first()).toBeVisible();
  await expect(tablet.who).toContainText('Ines Okafor');
  await tablet.allSent(30_000);
  await tablet.wedgeUntil(ticket, ticket, /^Clocked out/);
  await tablet.allSent();
  await expectOneSpell(site, 'Asleep');
});

async function atWork(rack: TabletRack, site: Site, name: string) {
  await site.start();
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name });
  await tablet.installed();
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.allSent();
  return { tablet, ticket };
}

/** The processes in which this browser's pages run: stopped, they are what a system makes of an app that nobody looks at. */
async function renderersOf(browser: Browser): Promise<readonly number[]> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  return processInfo.filter(({ type }) => type === 'renderer').map(({ id }) => id);
}

/** Clocked in once and out once, by the hand who was on; the note that was only begun is nowhere. */
async function expectOneSpell(site: Site, name: string): Promise<void> {
  const stored = await recordsOfBench(site.ledgerFile, name);
  expect(stored.map(({ seq, kind }) => [seq, kind])).toEqual([
    [1, 'bench-set'],
    [2, 'badged-on'],
    [3, 'clocked-in'],
    [4, 'clocked-out'],
  ]);
  expect(onlyOne(stored, 'clocked-out').of).toBe(onlyOne(stored, 'clocked-in').id);
}

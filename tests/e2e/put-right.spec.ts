/** A supervisor puts right at the desk what the records leave open: two taps, and the record carries the name. */
import { expect, type Locator, type Page } from 'playwright/test';
import { asBenchId, asOperativeId, asStageCode, type PairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { pairShown, seat } from '../../src/words/desk.ts';
import { instantShown, putRightWords } from '../../src/words/put-right.ts';
import { test } from '../support/bench-test.ts';
import { handAt, INES, LAY, RUTH, SITE, TOMASZ, WLT } from '../support/builders.ts';
import { axeFindings, stickingOut } from '../support/look-rules.ts';
import { OfficeDesk } from '../support/office-desk.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { LANDSCAPE, PORTRAIT, type TabletRack } from '../support/tablet-rack.ts';

const ZONE = 'Europe/London';
const RUTH_NAME = 'Ruth Adeyemi';
const OFFICE_NAME = 'Nell Harrow';
const WELTING = asBenchId('bench-welting');
const LAYING = asBenchId('bench-laying');
/** 15 mm at 96 CSS pixels an inch. */
const TARGET_PX = 56.6;
/** Before the shift that runs, at whatever hour the test is run: the site's shifts begin at midnight. */
const YESTERDAY = Date.now() - 26 * HOUR_MS;

/** Two benches, and somebody for the office, who may not settle anything. */
async function furnish(site: Site): Promise<void> {
  await site.changeBook((book) => ({
    ...book,
    operatives: [
      ...book.operatives,
      { id: asOperativeId('op-nell'), name: OFFICE_NAME, role: 'office', released: null },
    ],
    benches: [
      ...book.benches,
      { bench: WELTING, name: 'Welting', stages: [WLT] },
      { bench: LAYING, name: 'Laying', stages: [LAY] },
    ],
  }));
  await site.start();
}

/** What a bench sent in, put into the ledger by the server's own contract. */
async function sentFrom(site: Site, records: readonly LedgerRecord[]): Promise<void> {
  const ledger = await openSqliteLedger(site.ledgerFile);
  for (const record of records) {
    const [answer] = await ledger.append(
      { site: SITE, bench: record.bench, place: 'bench' },
      [record],
      Date.now(),
    );
    expect(answer?.answer, JSON.stringify(answer)).toBe('stored');
  }
  await ledger.close();
}

async function deskOf(rack: TabletRack, site: Site, name: string, viewport = LANDSCAPE): Promise<OfficeDesk> {
  return new OfficeDesk(await rack.openDesk(site, name, viewport));
}

const itemOf = (page: Page, pair: PairId): Locator =>
  page.locator('.put-right-item').filter({ hasText: pairShown(pair) });

const panelRow = (page: Page, text: string): Locator =>
  page.locator('.put-right-offer').filter({ hasText: text });

test('a missed clock-out is settled in two taps by the supervisor who is at the desk, and by nobody else', async ({
  rack,
  ownSite: site,
}) => {
  await furnish(site);
  const pair = await site.logPair();
  const other = await site.logPair();
  const welting = handAt(WELTING, INES);
  const missed = welting.write('clocked-in', { pair, at: YESTERDAY });
  const next = welting.write('clocked-in', { pair: other, at: YESTERDAY + 40 * MINUTE_MS });
  const done = welting.write('clocked-out', { pair: other, of: next.id, at: YESTERDAY + 60 * MINUTE_MS });
  await sentFrom(site, [missed, next, done]);
  const desk = await deskOf(rack, site, 'Counter');
  const { page } = desk;
  const item = itemOf(page, pair);
  await expect(item).toContainText('Ines Okafor');
  await expect(page.getByRole('heading', { name: putRightWords.kind('left-open') })).toBeVisible();

  await page.getByRole('button', { name: seat.who }).click();
  await page.locator('.seat-names').getByRole('button', { name: OFFICE_NAME }).click();
  await expect(page.locator('.put-right-who')).toHaveText(
    putRightWords.notSupervisor(OFFICE_NAME, [RUTH_NAME]),
  );
  await item.click();
  await expect(page.locator('.put-right-panel')).toBeVisible();
  await expect(page.locator('.put-right-panel button')).toHaveCount(0);
  await item.click();

  await page.getByRole('button', { name: seat.at(OFFICE_NAME) }).click();
  await page.locator('.seat-panel').getByLabel(seat.badge).pressSequentially(site.badges.ruth);
  await page.keyboard.press('Enter');
  await expect(page.locator('.put-right-who')).toHaveCount(0);

  // The first tap.
  await item.click();
  const row = panelRow(page, putRightWords.offer('hand-next'));
  await expect(row).toContainText(instantShown(next.at, ZONE));
  for (const button of await page.locator('.put-right-panel button').all())
    expect((await button.boundingBox())?.height ?? 0).toBeGreaterThanOrEqual(TARGET_PX);
  // The second.
  await row.getByRole('button', { name: putRightWords.done, exact: true }).click();

  await expect(page.locator('.put-right-made')).toContainText(`by ${RUTH_NAME}.`);
  await expect(item).toHaveCount(0);
  await desk.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Counter');
  expect(onlyOne(stored, 'time-given')).toMatchObject({
    by: RUTH,
    pair,
    of: missed.id,
    from: null,
    to: next.at,
    outcome: 'done',
    closes: false,
  });

  // Recorded by mistake: it is on the list again, and both records are in the ledger.
  await desk.button(putRightWords.undo).click();
  await expect(item).toBeVisible();
  await expect(page.locator('.put-right-made')).toHaveText(putRightWords.undone);
  await desk.allSent();
  const after = await recordsOfBench(site.ledgerFile, 'Counter');
  expect(after.map(({ kind }) => kind)).toEqual(['time-given', 'voided']);
  expect(onlyOne(after, 'voided').of).toBe(onlyOne(after, 'time-given').id);
});

/** Europe/London, 25 October 2026: at 02:00 the clocks went back to 01:00 (IANA tz database). */
test('a time in the hour that came twice is asked about, and one in the future is not taken', async ({
  rack,
  ownSite: site,
}) => {
  await furnish(site);
  const pair = await site.logPair();
  const begun = Date.UTC(2026, 9, 25, 0, 10);
  const missed = handAt(WELTING, INES).write('clocked-in', { pair, at: begun });
  await sentFrom(site, [missed]);
  const desk = await deskOf(rack, site, 'Night desk');
  const { page } = desk;
  await desk.sit(site.badges.ruth, RUTH_NAME);
  await itemOf(page, pair).click();
  const row = panelRow(page, putRightWords.another);
  const finished = row.getByRole('button', { name: putRightWords.done, exact: true });
  await finished.click();
  await expect(row).toContainText(putRightWords.unreadable);
  const ahead = new Date(Date.now() + 2 * DAY_MS).toISOString();
  await row.getByLabel(putRightWords.day).fill(ahead.slice(0, 10));
  await row.getByLabel(putRightWords.time).fill('12:00');
  await finished.click();
  await expect(page.locator('.put-right-problem')).toHaveText(putRightWords.ahead);

  await row.getByLabel(putRightWords.day).fill('2026-10-25');
  await row.getByLabel(putRightWords.time).fill('01:30');
  await expect(row).toContainText(putRightWords.twice('01:30'));
  await finished.click();
  await expect(itemOf(page, pair)).toBeVisible();
  await row.getByLabel(putRightWords.second).check();
  await finished.click();
  await expect(itemOf(page, pair)).toHaveCount(0);
  await desk.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Night desk');
  expect(onlyOne(stored, 'time-given').to).toBe(Date.UTC(2026, 9, 25, 1, 30));
});

test('what stands as it is leaves the list and stays in the ledger; what is taken back is asked for once more', async ({
  rack,
  ownFullSite: site,
}) => {
  await furnish(site);
  const pair = await site.logPairAs({ route: 1, yes: 'given' });
  const nobodys = site.ticketOfNobody();
  const welting = handAt(WELTING, INES);
  const laying = handAt(LAYING, TOMASZ);
  const here = welting.write('clocked-in', { pair, at: Date.now() - 5 * MINUTE_MS });
  const there = laying.write('clocked-in', { pair, stage: LAY, at: Date.now() - 4 * MINUTE_MS });
  const stray = laying.write('clocked-in', {
    pair: nobodys,
    stage: asStageCode('LAY'),
    at: Date.now() - MINUTE_MS,
  });
  await sentFrom(site, [here, there, stray]);
  const desk = await deskOf(rack, site, 'Floor desk');
  const { page } = desk;
  await desk.sit(site.badges.ruth, RUTH_NAME);

  const two = page.locator('.put-right-kind').filter({ hasText: putRightWords.kind('open-at-two-benches') });
  await two.locator('.put-right-item').click();
  await expect(two).toContainText('Beside Welt sewing, Welting');
  await two.getByLabel(putRightWords.why).fill('left shoe at one, right at the other');
  await two.getByRole('button', { name: putRightWords.stands }).click();
  await expect(two).toHaveCount(0);

  const order = page.locator('.put-right-kind').filter({ hasText: putRightWords.kind('out-of-order') });
  await order.locator('.put-right-item').first().click();
  const back = order.getByRole('button', { name: /^Take back / });
  await back.first().click();
  await expect(order).toContainText(putRightWords.backSure);
  await order.getByRole('button', { name: putRightWords.backNow }).click();
  await desk.allSent();

  const stored = await recordsOfBench(site.ledgerFile, 'Floor desk');
  expect(onlyOne(stored, 'looked-into')).toMatchObject({
    by: RUTH,
    of: there.id,
    what: 'open-at-two-benches',
    why: 'left shoe at one, right at the other',
  });
  expect([here.id, there.id]).toContain(onlyOne(stored, 'voided').of);
  // What took something back cannot be taken back itself.
  await expect(desk.button(putRightWords.undo)).toHaveCount(0);

  const unlogged = itemOf(page, nobodys).first();
  await unlogged.click();
  await page.getByRole('link', { name: putRightWords.log }).click();
  await expect(page).toHaveURL(/\/desk\/log$/);
  await expect(page.locator('main')).toContainText(pairShown(nobodys));
});

for (const viewport of [LANDSCAPE, PORTRAIT, { width: 1440, height: 900 }]) {
  test(`at ${viewport.width} × ${viewport.height} nothing sticks out, and axe finds nothing`, async ({
    rack,
    ownSite: site,
  }) => {
    await furnish(site);
    const pair = await site.logPair();
    const welting = handAt(WELTING, INES);
    const missed = welting.write('clocked-in', { pair, at: YESTERDAY });
    const odd = welting.write('clocked-out', { pair, at: YESTERDAY + MINUTE_MS });
    const open = welting.write('clocked-in', { pair: site.ticketOfNobody(), at: Date.now() - MINUTE_MS });
    await sentFrom(site, [missed, odd, open]);
    const desk = await deskOf(rack, site, `Desk ${viewport.width}`, viewport);
    const { page } = desk;
    await desk.sit(site.badges.ruth, RUTH_NAME);
    await itemOf(page, pair).first().click();
    expect(await stickingOut(page)).toEqual([]);
    expect(await axeFindings(page)).toEqual([]);
    for (const button of await page.locator('.put-right button').all())
      expect((await button.boundingBox())?.height ?? 0).toBeGreaterThanOrEqual(TARGET_PX);
  });
}

/** A pair is logged in at the desk, with the network or without, and its ticket can be scanned. */
import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, type Page } from 'playwright/test';
import { classify, shoeTag } from '../../src/domain/code.ts';
import { asPairId } from '../../src/domain/ids.ts';
import { pairOf } from '../../src/domain/record/kinds.ts';
import { deskHead, deskSetUp, pairShown, seat } from '../../src/words/desk.ts';
import { logging, problems } from '../../src/words/logging.ts';
import { jobNames } from '../../src/words/names.ts';
import { test } from '../support/bench-test.ts';
import { RUTH } from '../support/builders.ts';
import { newFolder } from '../support/chromium.ts';
import { axeFindings, stickingOut } from '../support/look-rules.ts';
import { OfficeDesk } from '../support/office-desk.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { LANDSCAPE, PORTRAIT, type TabletRack } from '../support/tablet-rack.ts';

const run = promisify(execFile);
const RUTH_NAME = 'Ruth Adeyemi';
const REFERENCE = 'A-1042 👞 שלום';
/** CSS Values and Units: 96 px an inch. A label printer's 203 dots an inch need more than one pixel a dot. */
const SHOT_SCALE = 3;

async function openDesk(
  rack: TabletRack,
  site: Site,
  name: string,
  viewport = LANDSCAPE,
): Promise<OfficeDesk> {
  const desk = new OfficeDesk(await rack.openDesk(site, name, viewport));
  await desk.installed();
  await desk.sit(site.badges.ruth, RUTH_NAME);
  await desk.goTo('log');
  return desk;
}

/** A picture that a camera could have taken, 640 × 480. */
async function photograph(): Promise<string> {
  const file = join(await newFolder(), 'shoe.jpg');
  await run('convert', ['-size', '640x480', 'plasma:tan-sienna', '-seed', '7', file]);
  return file;
}

test('with the network off a pair is logged in with notes and a photograph, and later the server has all of it', async ({
  rack,
  ownFullSite: site,
}) => {
  await site.start();
  const desk = await openDesk(rack, site, 'Counter');
  const { page } = desk;
  await page.context().setOffline(true);
  await page.reload();
  await expect(page.getByRole('button', { name: seat.at(RUTH_NAME) })).toBeVisible();

  await desk.fillTheLeast(REFERENCE);
  await page.getByLabel('Laces', { exact: true }).check();
  await desk.fill({ [logging.other]: 'schoenlepel 🥄' });
  await desk.button(logging.add).click();
  for (const [part, state] of [
    [logging.parts.sole, logging.states.sole.through],
    [logging.parts.welt, logging.states.welt.sound],
    [logging.parts.heel, logging.states.heel.lifts],
  ])
    await desk.choose(`${logging.shoe.left}, ${part}`, String(state));
  await desk.button(logging.sameRight).click();
  // On a line that runs along both sides, the drawing says which.
  await desk.button('left, tread, outside').tap();
  await desk.button(/^Hole through the sole/).tap();
  await desk.choose(`${logging.weight}, 1`, 'Ask');
  await desk.button('right, channel line, inside').focus();
  await page.keyboard.press('Enter');
  await page.getByLabel(logging.ownWords, { exact: true }).fill('lip catches a nail');
  await desk.button(logging.noteIt).click();
  await page.getByLabel(logging.pick).setInputFiles(await photograph());
  await expect(page.getByRole('img', { name: logging.photo(1) })).toBeVisible();
  await expect(page.locator('.log-proposal')).toContainText(logging.decides);

  // Half done, and the window is loaded anew: with no network, everything is there again.
  await page.reload();
  await expect(page.getByLabel(logging.ownerRef)).toHaveValue(REFERENCE);
  await expect(page.locator('.log-notes > li')).toHaveCount(2);
  await expect(page.getByRole('img', { name: logging.photo(1) })).toBeVisible();

  await desk.choose(logging.job, jobNames.FB);
  const pair = await desk.logIn();
  expect(classify(pair, 'camera')).toMatchObject({ kind: 'ticket', checked: true });
  await expect(page.locator('.log-logged bdi')).toHaveText(REFERENCE);
  await expect(page.locator('.desk-kept')).toHaveText(deskHead.waiting(4));
  expect(await recordsOfBench(site.ledgerFile, 'Counter')).toEqual([]);

  await page.context().setOffline(false);
  await desk.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Counter');
  expect(stored.map(({ kind }) => kind)).toEqual(['pair-logged', 'noted', 'noted', 'pictured']);
  expect(onlyOne(stored, 'pair-logged')).toMatchObject({
    pair,
    by: RUTH,
    ownerRef: REFERENCE,
    withPair: ['Laces', 'schoenlepel 🥄'],
    job: 'FB',
    yes: 'to-ask',
    route: 1,
    condition: { left: { sole: 'through', welt: 'sound', heel: 'lifts' }, right: { sole: 'through' } },
  });
  const noted = stored.filter(({ kind }) => kind === 'noted').map(({ record }) => record);
  expect(noted).toMatchObject([
    { shoe: 'left', zone: 'bottom-tread-outside', side: null, defect: 'sole-hole', weight: 'ask' },
    { shoe: 'right', zone: 'bottom-edge-line', side: 'inside', defect: null, text: 'lip catches a nail' },
  ]);
  const { photo, bytes } = onlyOne(stored, 'pictured');
  await expect.poll(async () => (await photoAtServer(page, photo)).bytes, { timeout: 20_000 }).toBe(bytes);
});

/** Asks the server for the photograph with the desk's own key; runs in the page, since the key is there. */
function photoAtServer(page: Page, photo: string) {
  return page.evaluate(async (hash) => {
    const opened = await new Promise<IDBDatabase>((resolve, reject) => {
      const opening = indexedDB.open('waxend-desk');
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
    const { key, site } = await new Promise<{ key: string; site: string }>((resolve, reject) => {
      const asking = opened.transaction('settings').objectStore('settings').get('enrolment');
      asking.onsuccess = () => resolve(asking.result);
      asking.onerror = () => reject(asking.error);
    });
    opened.close();
    const answer = await fetch(`/api/photo/${hash}`, {
      headers: { authorization: `Bearer ${key}`, 'x-waxend-site': site },
    });
    return { status: answer.status, bytes: (await answer.arrayBuffer()).byteLength };
  }, photo);
}

test('two desks with no network, and two windows of one, never give the same number', async ({
  rack,
  ownFullSite: site,
}) => {
  await site.start();
  const [one, other] = [await openDesk(rack, site, 'One desk'), await openDesk(rack, site, 'Other desk')];
  const beside = new OfficeDesk(await one.page.context().newPage());
  await beside.page.goto(`${site.url}/desk/log`);
  await beside.sit(site.badges.ruth, RUTH_NAME);
  await one.page.context().setOffline(true);
  await other.page.context().setOffline(true);
  const numbers: string[] = [];
  for (const desk of [one, other, beside, one, other, beside]) {
    // Each begins with an empty page, whatever another window has left in the browser.
    const next = desk.button(logging.next);
    if (await next.isVisible()) await next.click();
    await desk.fillTheLeast(`A-${numbers.length}`);
    await desk.choose(logging.job, jobNames.HL);
    numbers.push(await desk.logIn());
  }
  expect(new Set(numbers).size).toBe(6);
  await one.page.context().setOffline(false);
  await other.page.context().setOffline(false);
  await Promise.all([one.allSent(), other.allSent()]);
  const logged = [
    ...(await recordsOfBench(site.ledgerFile, 'One desk')),
    ...(await recordsOfBench(site.ledgerFile, 'Other desk')),
  ].filter(({ kind }) => kind === 'pair-logged');
  expect(logged.map(({ record }) => pairOf(record)).sort()).toEqual([...numbers].sort());
  // And each desk has what the other logged in.
  await other.goTo('where');
  await expect(other.page.locator('main')).toContainText(pairShown(numbers[0] ?? ''));
});

test('what is missing or wrong is said beside its field, and a day in the past has to be meant', async ({
  rack,
  ownFullSite: site,
}) => {
  await site.start();
  const desk = await openDesk(rack, site, 'Bad input');
  const { page } = desk;
  await desk.button(logging.save).click();
  await expect(page.locator('#log-ownerRef-says')).toHaveText(problems.missing);
  await expect(page.locator('#log-job-says')).toHaveText(problems.noJob);
  await expect(page.getByLabel(logging.ownerRef)).toBeFocused();
  await expect(page.getByRole('status').filter({ hasText: logging.toMend(6) })).toBeVisible();

  await desk.fillTheLeast('A-7');
  await desk.choose(logging.job, jobNames.HF);
  await desk.fill({ [logging.promised]: '2020-02-29', [logging.ticket]: 'P7K4292X' });
  await expect(page.locator('#log-promised-says')).toHaveText(problems.past('2020-02-29'));
  await expect(page.locator('#log-ticket-says')).toHaveText(problems.ticketNone);
  await desk.fill({ [logging.ticket]: '' });
  await page.getByLabel(logging.pastMeant).check();
  await page.getByLabel(logging.pick).setInputFiles({
    name: 'list.jpg',
    mimeType: 'image/jpeg',
    buffer: Buffer.from('not a picture at all'),
  });
  await expect(
    page.getByRole('status').filter({ hasText: logging.notKeptPicture['not-a-picture'] }),
  ).toBeVisible();
  const pair = await desk.logIn();
  await desk.allSent();
  expect(onlyOne(await recordsOfBench(site.ledgerFile, 'Bad input'), 'pair-logged')).toMatchObject({
    pair,
    promised: '2020-02-29',
  });
});

test('ticket and shoe tags are printed without the server, and an independent reader reads them', async ({
  rack,
  ownFullSite: site,
}) => {
  await site.start();
  const desk = await openDesk(rack, site, 'Printing');
  const { page } = desk;
  await desk.fillTheLeast(REFERENCE);
  await desk.choose(logging.job, jobNames.HL);
  await site.kill();
  const pair = asPairId(await desk.logIn());
  await desk.button(logging.print).click();
  const frame = page.frameLocator('iframe[name=paper]');
  await expect(frame.locator('.ticket')).toHaveCount(1);
  await expect(frame.locator('.tag')).toHaveCount(2);
  expect(await frame.locator('body').textContent()).not.toContain('A-1042');

  await page.locator('iframe[name=paper]').evaluate((paper, scale) => {
    // Where it is: a frame that is put elsewhere begins anew, empty.
    document.getElementById('app')?.remove();
    Object.assign((paper as HTMLElement).style, { width: '900px', height: '700px', zoom: String(scale) });
  }, SHOT_SCALE);
  await page.setViewportSize({ width: 900 * SHOT_SCALE, height: 700 * SHOT_SCALE });
  const shot = join(await newFolder(), 'paper.png');
  await page.screenshot({ path: shot });
  // zbar, from Debian: no part of what draws the symbols. The ticket carries its number twice, as QR and Code 128.
  const { stdout } = await run('zbarimg', ['--quiet', '--nodbus', shot]);
  expect(stdout.trim().split('\n').sort()).toEqual(
    [
      `CODE-128:${pair}`,
      `QR-Code:${pair}`,
      `QR-Code:${shoeTag(pair, 'left', true)}`,
      `QR-Code:${shoeTag(pair, 'right', true)}`,
    ].sort(),
  );
});

test('a desk that was set up before desks kept records is asked to be set up once more, and then works', async ({
  rack,
  ownFullSite: site,
}) => {
  await site.start();
  const { page } = await rack.open({ site });
  // As the version before left it.
  await page.evaluate(() => localStorage.setItem('waxend-desk', JSON.stringify({ desk: 'b-1', key: '0f' })));
  await page.goto(`${site.url}/desk`);
  await expect(page.getByRole('heading', { name: deskSetUp.moved.says })).toBeVisible();
  await page.getByLabel(deskSetUp.field).fill(await site.setUpCode('Set up anew'));
  await page.getByRole('button', { name: deskSetUp.submit }).click();
  await page.locator('.desk-stages').waitFor();
  await page.reload();
  await page.locator('.desk-stages').waitFor();
});

for (const [position, viewport] of [
  ['landscape', LANDSCAPE],
  ['portrait', PORTRAIT],
] as const)
  test(`the page is legible and whole in ${position}`, async ({ rack, ownFullSite: site }) => {
    await site.start();
    const desk = await openDesk(rack, site, `Look in ${position}`, viewport);
    const { page } = desk;
    const look = async () => {
      expect(await axeFindings(page)).toEqual([]);
      expect(await stickingOut(page)).toEqual([]);
      expect(await smallControls(page)).toEqual([]);
    };
    await look();
    await desk.button(logging.save).click();
    await desk.choose(`${logging.shoe.left}, ${logging.parts.sole}`, logging.states.sole.lock);
    await desk.button('left, toe').tap();
    await look();
    await page.locator('.log-defects button').first().tap();
    await desk.button(seat.at(RUTH_NAME)).click();
    await look();
  });

/** WCAG 2.2, 2.5.5: 44 px each way. The zones of the drawing have a list beside them. */
const TARGET_PX = 44;

function smallControls(page: Page): Promise<readonly string[]> {
  return page.evaluate(
    (least) =>
      [...document.querySelectorAll('button, a, input, select, summary')].flatMap((control) => {
        const { width, height } = control.getBoundingClientRect();
        const small = width > 0 && (Math.round(width) < least || Math.round(height) < least);
        return small ? [`${control.textContent ?? ''} ${control.id}: ${width}x${height}`] : [];
      }),
    TARGET_PX,
  );
}

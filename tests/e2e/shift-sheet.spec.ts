/** The shift sheet at the desk: what a supervisor reads from it, puts right on it, prints and takes away. */
import { execFile } from 'node:child_process';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { XMLParser, XMLValidator } from 'fast-xml-parser';
import Papa from 'papaparse';
import { expect, type Locator, type Page } from 'playwright/test';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { pairShown } from '../../src/words/desk.ts';
import { dayOf } from '../../src/words/format.ts';
import { putRightWords } from '../../src/words/put-right.ts';
import { shiftWords } from '../../src/words/shift.ts';
import { endWords } from '../../src/words/shift-end.ts';
import { site as siteWords } from '../../src/words/site.ts';
import { calendarWords, personalWords } from '../../src/words/site-calendar.ts';
import { test } from '../support/bench-test.ts';
import { type KnownShift, knownShift, SHIFT_NAME, WAITING } from '../support/known-shift.ts';
import { axeFindings, stickingOut } from '../support/look-rules.ts';
import { OfficeDesk } from '../support/office-desk.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { LANDSCAPE, PORTRAIT, type TabletRack } from '../support/tablet-rack.ts';

const run = promisify(execFile);
const LAYING = 'Sole laying';
const RUTH_NAME = 'Ruth Adeyemi';
/** A4 in PostScript points (ISO 216: 210 × 297 mm). */
const A4_POINTS = /595(\.\d+)? x 84[12]/;
/** WCAG 2.2, 2.5.5: target size (enhanced). */
const ALONE_PX = 44;
/** 2.1 rem: rows are dense, and each number is still met by a finger. */
const IN_TABLE_PX = 33.6;

interface AtSheet {
  readonly desk: OfficeDesk;
  readonly page: Page;
  readonly known: KnownShift;
}

async function atSheet(rack: TabletRack, site: Site, name: string, viewport = LANDSCAPE): Promise<AtSheet> {
  const known = await knownShift(site);
  await site.start();
  const desk = new OfficeDesk(await rack.openDesk(site, name, viewport));
  await desk.goTo('shift');
  await desk.page.locator('.shift-strips').waitFor({ timeout: 30_000 });
  return { desk, page: desk.page, known };
}

const rowOf = (page: Page, stage: string): Locator =>
  page.locator('.shift-stages tbody tr').filter({ has: page.getByRole('rowheader', { name: stage }) });

const number = (row: Locator, figure: keyof typeof shiftWords.figures): Locator =>
  row.getByRole('button', { name: new RegExp(`\\. ${shiftWords.figures[figure]}, `) });

const kindOf = (page: Page, name: string): Locator =>
  page.locator('.shift-end details').filter({ has: page.locator('summary', { hasText: name }) });

test('a supervisor reads which stage holds the line back, opens a figure to its records, and settles a missed clock-out', async ({
  rack,
  ownFullSite: site,
}) => {
  const { desk, page, known } = await atSheet(rack, site, 'Sheet');
  await expect(page.locator('h1')).toHaveText(new RegExp(`^${SHIFT_NAME} shift, `));
  await expect(page.locator('.desk-sentence b')).toHaveText(`${LAYING} holds the line back:`);
  const laying = rowOf(page, LAYING);
  await expect(laying).toContainText(shiftWords.heldHere);
  await expect(number(laying, 'out')).toHaveText('1');
  await expect(number(laying, 'waiting')).toHaveText(String(WAITING));
  await expect(number(laying, 'touch')).toHaveText('20 (20) min');

  await number(laying, 'out').click();
  const dialog = page.getByRole('dialog');
  await expect(dialog.getByRole('link')).toHaveText(pairShown(known.laid));
  // The clock-out is the record that says so.
  await expect(dialog.locator('ul > li')).toHaveCount(1);
  await expect(dialog).toContainText('Tomasz Lindqvist');
  await page.keyboard.press('Escape');
  await expect(dialog).toHaveCount(0);
  await expect(number(laying, 'out')).toBeFocused();
  await number(laying, 'out').click();
  await dialog.getByRole('link').click();
  await expect(page).toHaveURL(new RegExp(`/desk/where/${known.laid}$`));
  await page.goBack();

  await desk.sit(site.badges.ruth, RUTH_NAME);
  const learners = kindOf(page, endWords.name('learners'));
  await learners.locator('summary').click();
  await expect(learners.getByRole('link')).toHaveText(pairShown(known.laid));
  await learners.getByRole('button').click();
  await expect(learners).toHaveCount(0);
  await expect(page.locator('.shift-end > .put-right-said')).toContainText(`by ${RUTH_NAME}.`);

  const still = kindOf(page, endWords.name('clocked-in'));
  await still.locator('summary').click();
  await expect(still.getByRole('link')).toHaveText(pairShown(known.missed));
  // One thing to put right stands open by itself.
  const item = page.locator('.shift-put-right .put-right-item').filter({ hasText: pairShown(known.missed) });
  await item.click();
  const offer = page.locator('.put-right-offer').filter({ hasText: putRightWords.offer('hand-next') });
  await offer.getByRole('button', { name: putRightWords.done, exact: true }).click();
  await expect(page.locator('.shift-put-right .put-right-made')).toContainText(`by ${RUTH_NAME}.`);
  await desk.allSent();
  // At once, and not with the next asking half a minute later.
  await expect(number(laying, 'out')).toHaveText('2', { timeout: 8_000 });
  await expect(still).toHaveCount(0);
  await expect(page.locator('.desk-foot')).toContainText([shiftWords.foot, shiftWords.amended(1)]);
  const stored = await recordsOfBench(site.ledgerFile, 'Sheet');
  expect(onlyOne(stored, 'time-given').pair).toBe(known.missed);
  expect(onlyOne(stored, 'looked-into')).toMatchObject({ pair: known.laid, what: 'learners-work' });
});

test('figures about persons are for the holder of a badge: a supervisor sees all, a hand its own, and a site may have none', async ({
  rack,
  ownFullSite: site,
}) => {
  const { desk, page } = await atSheet(rack, site, 'Hands');
  const hands = page.locator('.shift-hands');
  const show = async (badge: string) => {
    await hands.getByLabel(shiftWords.badge).fill(badge);
    await hands.getByRole('button', { name: shiftWords.show, exact: true }).click();
  };
  await expect(hands).not.toContainText('Tomasz Lindqvist');
  await show('nobody’s badge');
  await expect(hands).toContainText(shiftWords.noHands['unknown-badge']);
  await show(site.badges.ines);
  await expect(hands).toContainText(shiftWords.ownOnly('Ines Okafor'));
  await expect(hands).not.toContainText('Tomasz');
  await hands.getByRole('button', { name: shiftWords.hide }).click();
  await show(site.badges.ruth);
  await expect(hands.getByRole('rowheader', { name: 'Tomasz Lindqvist' })).toBeVisible();
  // Her own badge opened the figures, and opens each of them to its records.
  await hands.locator('.shift-number').first().click();
  await expect(page.locator('.shift-behind li').first()).toBeVisible();
  await page.keyboard.press('Escape');

  await desk.sit(site.badges.ruth, RUTH_NAME);
  await desk.goTo('site');
  await desk.button(siteWords.tabs.shifts).click();
  await page.getByLabel(personalWords.on).uncheck();
  await desk.button(siteWords.save).click();
  await expect(page.locator('.site-save')).toContainText('Saved.');
  await desk.goTo('shift');
  await expect(page.locator('.shift-hands')).toContainText(shiftWords.handsOff, { timeout: 20_000 });
  await expect(page.locator('.shift-hands input')).toHaveCount(0);
});

test('it prints on few pages of A4, with site and day and footnote, and without what cannot be tapped on paper', async ({
  rack,
  ownFullSite: site,
}) => {
  const { page } = await atSheet(rack, site, 'Print');
  const file = join(await rack.newFolder(), 'sheet.pdf');
  await writeFile(file, await page.pdf({ format: 'A4', preferCSSPageSize: true }));
  const { stdout: text } = await run('pdftotext', ['-layout', file, '-']);
  const { stdout: info } = await run('pdfinfo', [file]);
  expect(info).toMatch(A4_POINTS);
  expect(Number(/Pages:\s+(\d+)/.exec(info)?.[1])).toBeLessThanOrEqual(2);
  const flat = text.replaceAll(/\s+/g, ' ');
  for (const words of [
    'Aldermoor Bench',
    dayOf(Date.now() - 6 * HOUR_MS, 'Europe/London'),
    `${LAYING} holds the line back`,
    shiftWords.foot,
    endWords.title,
    shiftWords.ordinary,
    shiftWords.strips,
  ])
    expect(flat).toContain(words);
  for (const words of [
    shiftWords.before,
    shiftWords.print,
    shiftWords.badge,
    shiftWords.takeAway.title,
    putRightWords.nobody,
  ])
    expect(flat).not.toMatch(new RegExp(`(^| )${words}( |$)`));
});

test('every file that can be taken away reads in a reader of its kind', async ({
  rack,
  ownFullSite: site,
}) => {
  const { page, known } = await atSheet(rack, site, 'Files');
  const { files } = shiftWords.takeAway;
  const take = async (name: string): Promise<string> => {
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name, exact: true }).click();
    const path = await (await download).path();
    return readFile(path, 'utf8');
  };
  const table = (text: string) => {
    const { data, errors } = Papa.parse<Record<string, string>>(text.replace(/^\uFEFF/, ''), {
      header: true,
      skipEmptyLines: true,
    });
    expect(errors).toEqual([]);
    return data;
  };
  const sheet = table(await take(files['sheet.csv']));
  expect(sheet.find((row) => Object.values(row).includes('LAY'))).toMatchObject({
    Stage: 'LAY',
    'Pairs out': '1',
    'Pairs waiting': String(WAITING),
  });
  const spells = table(await take(files['spells.csv']));
  expect(spells.some((row) => Object.values(row).includes(known.laid))).toBe(true);
  const records = table(await take(files['records.csv']));
  expect(records.length).toBeGreaterThanOrEqual(3);
  const ocel = JSON.parse(await take(files['log.ocel.json']));
  for (const part of ['objectTypes', 'eventTypes', 'objects', 'events'])
    expect(ocel[part].length).toBeGreaterThan(0);
  const xes = await take(files['log.xes']);
  expect(XMLValidator.validate(xes)).toBe(true);
  const log = new XMLParser({ ignoreAttributes: false }).parse(xes).log;
  expect(JSON.stringify(log.trace)).toContain(known.laid);
});

test('a supervisor changes the calendar at the desk, and the sheet is of the shift as it is now', async ({
  rack,
  ownFullSite: site,
}) => {
  const { desk, page } = await atSheet(rack, site, 'Calendar');
  await desk.sit(site.badges.ruth, RUTH_NAME);
  await desk.goTo('site');
  await desk.button(siteWords.tabs.shifts).click();
  const shifts = page.getByRole('region', { name: calendarWords.shifts });
  const rule = shifts.getByRole('group', { name: SHIFT_NAME, exact: true });
  await expect(rule).toBeVisible();
  for (const viewport of [LANDSCAPE, PORTRAIT]) {
    await page.setViewportSize(viewport);
    expect(await stickingOut(page)).toEqual([]);
    expect(await axeFindings(page)).toEqual([]);
  }
  await rule.getByLabel(calendarWords.name, { exact: true }).fill('');
  await expect(page.locator('.site-line-faults')).toHaveText('It has no name.');
  await expect(desk.button(calendarWords.save)).toBeDisabled();
  await shifts.getByLabel(calendarWords.name, { exact: true }).fill('Renamed');
  await desk.button(calendarWords.save).click();
  await expect(page.locator('.site-calendar-save')).toContainText(calendarWords.saved);
  await desk.goTo('shift');
  // It began yesterday where the test is run early in the day, and yesterday’s shift keeps its name.
  const beganToday = dayOf(Date.now() - 6 * HOUR_MS, 'Europe/London') === dayOf(Date.now(), 'Europe/London');
  await expect(page.locator('h1')).toHaveText(new RegExp(`^${beganToday ? 'Renamed' : SHIFT_NAME} shift, `), {
    timeout: 30_000,
  });
});

test('in every width nothing sticks out, everything is met by a finger, and axe finds nothing', async ({
  rack,
  ownFullSite: site,
}) => {
  const { page } = await atSheet(rack, site, 'Look');
  await kindOf(page, endWords.name('clocked-in')).locator('summary').click();
  for (const viewport of [{ width: 1440, height: 900 }, LANDSCAPE, PORTRAIT]) {
    await page.setViewportSize(viewport);
    expect(await stickingOut(page)).toEqual([]);
    expect(await axeFindings(page)).toEqual([]);
    expect(await smallOnSheet(page)).toEqual([]);
  }
  await page.getByRole('button', { name: shiftWords.showBelow(LAYING) }).click();
  await expect(page.locator('.shift-ordinary select')).toHaveValue('LAY');
  await number(rowOf(page, LAYING), 'waiting').click();
  await expect(page.getByRole('dialog').getByRole('link')).toHaveCount(WAITING);
  expect(await axeFindings(page)).toEqual([]);
});

/** What a finger would miss: in the table rows are dense, elsewhere a target stands alone. */
function smallOnSheet(page: Page): Promise<readonly string[]> {
  return page.evaluate(
    ({ alone, dense }) =>
      [...document.querySelectorAll('main :is(button, select, summary, a, input)')].flatMap((target) => {
        const { height } = target.getBoundingClientRect();
        const least = target.closest('table, dl') === null ? alone : dense;
        return height > 0 && height < least - 0.1 ? [`${target.textContent}: ${height}`] : [];
      }),
    { alone: ALONE_PX, dense: IN_TABLE_PX },
  );
}

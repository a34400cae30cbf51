/** What nobody should scan or type, and is: each is told in words, and none leaves a wrong record. */
import { expect } from 'playwright/test';
import { classify, inGroups, SCAN_LENGTH_MAX } from '../../src/domain/code.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { actions, bench, cardLabels } from '../../src/words/bench.ts';
import { pairShown } from '../../src/words/desk.ts';
import type { Line } from '../../src/words/line.ts';
import { putRightWords } from '../../src/words/put-right.ts';
import { refusalLine, scannerLines } from '../../src/words/scans.ts';
import { settingsWords } from '../../src/words/settings.ts';
import { test } from '../support/bench-test.ts';
import { PAIR } from '../support/builders.ts';
import { newToken } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import type { Tablet } from '../support/tablet.ts';
import { CONTROL_BRACKET, keyOf, keysOf } from '../support/wedge-keys.ts';

const INES_NAME = 'Ines Okafor';
/** Half a minute more than five hours, so that no rounding makes it less. */
const SLOW_MS = 5 * HOUR_MS + 30_000;
const ASK = 'Ruth Adeyemi, supervisor';

async function expectLine(tablet: Tablet, { says, next }: Line): Promise<void> {
  await expect(tablet.says).toHaveText(says);
  await expect(tablet.next).toHaveText(next);
}

test('a ticket before any badge is asked for again after the badge, and nothing is recorded', async ({
  rack,
  site,
}) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Ticket first' });
  await tablet.wedge(ticket);
  await expectLine(tablet, refusalLine({ is: 'badge-first', pair: ticket }, ASK));
  await expect(tablet.next).toContainText(pairShown(ticket));
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Ticket first')).toEqual(['bench-set']);
});

test('a badge where a ticket is due badges, and touches no pair', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Badge for ticket' });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await tablet.wedge(site.badges.ines);
  await expectLine(tablet, bench.badgedOff(INES_NAME));
  await expect(tablet.openHere).toHaveCount(1);
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Badge for ticket')).toEqual([
    'bench-set',
    'badged-on',
    'clocked-in',
    'badged-off',
  ]);
});

test('a badge that the site does not know lets nobody on', async ({ rack, site }) => {
  const tablet = await rack.open({ site, name: 'Unknown badge' });
  await tablet.wedge(newToken('badge'));
  await expectLine(tablet, refusalLine({ is: 'unknown-badge' }, ASK));
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Unknown badge')).toEqual(['bench-set']);
});

test('a ticket that nobody logged is worked, and flagged on the desk', async ({ rack, site }) => {
  const ticket = site.ticketOfNobody();
  const tablet = await rack.open({ site, name: 'Unknown ticket' });
  const desk = await rack.openDesk(site, 'Desk for flags');
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await expect(tablet.page.locator('.main')).toContainText(cardLabels.unknown);
  const flag = desk
    .locator('.put-right-kind')
    .filter({ has: desk.getByRole('heading', { name: putRightWords.kind('never-logged') }) });
  await expect(flag).toContainText(pairShown(ticket));
  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Unknown ticket');
  expect(onlyOne(stored, 'clocked-in')).toMatchObject({ pair: ticket, unknownPair: true });
});

test('a misread ticket says which place to compare, and offers the keypad', async ({ rack, site }) => {
  const tablet = await rack.open({ site, name: 'Misread' });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  // On worn print a 9 is read for the 4 in the fourth place.
  const misread = PAIR.replace('P7K4', 'P7K9');
  await tablet.wedge(misread);
  await expect(tablet.says).toHaveText(damaged(misread).says);
  await expect(tablet.next).toContainText(inGroups(misread).join(' '));
  await expect(tablet.next).toContainText(/place 4:? 9 or 4\?/);
  await tablet.page.locator('.bar').getByRole('button', { name: actions.typeIt, exact: true }).tap();
  await expect(tablet.page.locator('.keypad')).toBeVisible();

  await tablet.wedge(PAIR.slice(0, -1));
  await expect(tablet.says).toHaveText(damaged(PAIR.slice(0, -1)).says);
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Misread')).toEqual(['bench-set', 'badged-on']);
});

test('a foreign QR and one that is markup are shown as text: nothing runs, nothing is asked for', async ({
  rack,
  site,
}) => {
  const address = 'https://bench.example/pair/7';
  const markup = '<img src=x onerror=document.title="run">';
  const film = await rack.film(
    [
      { text: address, symbol: 'qr', scale: 6 },
      { text: markup, symbol: 'qr', scale: 6 },
    ],
    { blankSeconds: 2, secondsEach: 2 },
  );
  const tablet = await rack.open({ site, name: 'Foreign', film });
  const requests: string[] = [];
  tablet.context.on('request', (request) => requests.push(request.url()));
  for (const text of [address, markup]) {
    await expect(tablet.next).toContainText(text, { timeout: 20_000 });
    await expect(tablet.says).toHaveText(foreign(text).says);
  }
  expect(await tablet.page.locator('img').count()).toBe(0);
  expect(await tablet.page.title()).toBe('Waxend');
  // What the markup's picture would be; a request to anybody else fails the test by itself.
  expect(requests).not.toContain(`${site.url}/x`);
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Foreign')).toEqual(['bench-set']);
});

test('an enormous scan is told to be too long, and not shown', async ({ rack, site }) => {
  const tablet = await rack.open({ site, name: 'Enormous' });
  const enormous = 'P7K4292W'.repeat(100);
  await tablet.wedge(enormous);
  await expectLine(tablet, foreign('x'.repeat(SCAN_LENGTH_MAX + 1)));
  await tablet.paste(enormous.repeat(100));
  await expectLine(tablet, foreign('x'.repeat(SCAN_LENGTH_MAX + 1)));
  expect((await tablet.page.locator('body').textContent())?.length).toBeLessThan(2_000);
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Enormous')).toEqual(['bench-set']);
});

test('control characters are refused, sent as keys or pasted', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Control characters' });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.keys([...[...ticket.slice(0, 4)].map(keyOf), CONTROL_BRACKET, ...keysOf(ticket.slice(4))]);
  await expectLine(tablet, scannerLines['scanner-keys']);
  const pasted = `${ticket.slice(0, 4)}\u001d${ticket.slice(4)}`;
  await tablet.paste(pasted);
  await expectLine(tablet, foreign(pasted));
  await tablet.allSent();
  expect(await kindsAt(site.ledgerFile, 'Control characters')).toEqual(['bench-set', 'badged-on']);
});

test('a tablet five hours slow records the server’s time, and what its own clock said', async ({
  rack,
  site,
}) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Slow clock', before: slowClock });
  const says = await tablet.page.evaluate(() => Date.now());
  expect(Math.abs(says + SLOW_MS - Date.now())).toBeLessThan(5_000);
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  const scannedAt = Date.now();
  await tablet.kept.tap();
  await expect(tablet.page.locator('.settings')).toContainText(settingsWords.clockWrong('5 h 00', 'behind'));

  await tablet.allSent();
  const { at, wall } = onlyOne(await recordsOfBench(site.ledgerFile, 'Slow clock'), 'clocked-in');
  expect(Math.abs(at - scannedAt)).toBeLessThan(3_000);
  expect(Math.abs(wall.ms + SLOW_MS - scannedAt)).toBeLessThan(3_000);
  expect(wall.known).toBe(true);
  expect(wall.ms + wall.offsetMs).toBe(at);
});

const kindsAt = async (file: string, name: string) =>
  (await recordsOfBench(file, name)).map(({ kind }) => kind);

function foreign(text: string): Line {
  const code = classify(text, 'typed');
  if (code.kind !== 'foreign') throw new Error(`${text} is not foreign`);
  return refusalLine({ is: 'foreign', code }, ASK);
}

function damaged(text: string): Line {
  const code = classify(text, 'wedge');
  if (code.kind !== 'damaged') throw new Error(`${text} is not damaged`);
  return refusalLine({ is: 'damaged', code }, ASK);
}

/** Runs in the page before the app: a tablet whose clock nobody has set. */
function slowClock(): void {
  const slowMs = 5 * 60 * 60_000 + 30_000;
  const Right = Date;
  class Slow extends Right {
    constructor(...told: readonly number[]) {
      super(...((told.length === 0 ? [Slow.now()] : told) as [number]));
    }

    static override now(): number {
      return Right.now() - slowMs;
    }
  }
  globalThis.Date = Slow as DateConstructor;
}

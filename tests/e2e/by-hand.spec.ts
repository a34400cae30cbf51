/** The main job without a camera: by a scanner that types, on our own keypad, and by pasting. */
import { expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { test } from '../support/bench-test.ts';
import { INES, TOMASZ, WLT } from '../support/builders.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';

test('a plain pair takes a wedge scanner two scans and no tap', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'By wedge' });
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  const [scans, touches] = [tablet.scans, await tablet.countTouches()];
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await tablet.wedge(ticket);
  await tablet.expectClockedOut();
  expect(tablet.scans - scans).toBe(2);
  expect(await touches()).toBe(0);

  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'By wedge');
  expect(stored.map(({ kind }) => kind)).toEqual(['bench-set', 'badged-on', 'clocked-in', 'clocked-out']);
  const clockedIn = onlyOne(stored, 'clocked-in');
  expect(clockedIn).toMatchObject({ pair: ticket, stage: WLT, by: INES });
  expect(onlyOne(stored, 'clocked-out')).toMatchObject({ of: clockedIn.id, by: INES, outcome: 'done' });
});

test('two pulls of the trigger at once are one scan', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'By wedge, twice' });
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.wedge(ticket);
  await tablet.wedgeAgainAtOnce(ticket);
  await tablet.expectClockedIn();
  await tablet.allSent();
  expect((await recordsOfBench(site.ledgerFile, 'By wedge, twice')).map(({ kind }) => kind)).toEqual([
    'bench-set',
    'badged-on',
    'clocked-in',
  ]);
});

test('badge and ticket typed on the keypad do the same', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'By keypad' });
  await tablet.typeOnKeypad(site.badges.tomasz);
  await expect(tablet.who).toContainText('Tomasz Lindqvist');
  await tablet.typeOnKeypad(ticket);
  await tablet.expectClockedIn();
  await tablet.typeOnKeypad(ticket);
  await tablet.expectClockedOut();

  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'By keypad');
  expect(onlyOne(stored, 'clocked-in')).toMatchObject({ pair: ticket, by: TOMASZ });
  expect(onlyOne(stored, 'clocked-out')).toMatchObject({ pair: ticket, by: TOMASZ });
});

test('a ticket pasted in small letters with blanks is that ticket', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'By paste' });
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.paste(` ${inGroups(ticket.toLowerCase()).join(' ')} `);
  await tablet.expectClockedIn();
  await expect(tablet.openHere).toHaveCount(0);
  await expect(tablet.page.locator('h2.code')).toHaveText(inGroups(ticket).join(''));
  await tablet.paste(ticket);
  await tablet.expectClockedOut();

  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'By paste');
  expect(onlyOne(stored, 'clocked-out').pair).toBe(ticket);
});

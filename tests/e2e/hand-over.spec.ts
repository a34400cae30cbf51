/** Two hands at one bench: what is open stays open, with whom it was begun. */
import { expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { bench } from '../../src/words/bench.ts';
import { answerLabels, yesLabels } from '../../src/words/questions.ts';
import { asked } from '../support/asked.ts';
import { test } from '../support/bench-test.ts';
import { INES, TOMASZ } from '../support/builders.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import type { Tablet } from '../support/tablet.ts';

const INES_NAME = 'Ines Okafor';
const TOMASZ_NAME = 'Tomasz Lindqvist';
const question = asked('open-by-another', { who: INES_NAME });
const finished = yesLabels['open-by-another'] ?? '';

test('a second badge takes over, and the open pair stays with whom it was begun', async ({ rack, site }) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Hand-over' });
  await inAndHandOver(tablet, site.badges, ticket);

  const [open] = await tablet.openHere.all();
  await expect(tablet.openHere).toHaveCount(1);
  await expect(open ?? tablet.openHere).toContainText(inGroups(ticket).join(''));
  await expect(open ?? tablet.openHere).toContainText(INES_NAME);

  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Hand-over');
  expect(stored.map(({ kind, by }) => [kind, by]).slice(1)).toEqual([
    ['badged-on', INES],
    ['clocked-in', INES],
    ['badged-off', INES],
    ['badged-on', TOMASZ],
  ]);
});

test('finishing it with the second hand asks once, and both are named in the records', async ({
  rack,
  site,
}) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Finished by another' });
  await inAndHandOver(tablet, site.badges, ticket);

  await tablet.wedge(ticket);
  await expect(tablet.says).toContainText(question.says);
  await expect(tablet.next).toHaveText(question.next);
  await tablet.tap(finished);
  await tablet.expectClockedOut();
  await expect(tablet.button(finished)).toHaveCount(0);

  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Finished by another');
  const clockedIn = onlyOne(stored, 'clocked-in');
  expect(clockedIn.by).toBe(INES);
  expect(onlyOne(stored, 'clocked-out')).toMatchObject({ of: clockedIn.id, by: TOMASZ, outcome: 'done' });
});

test('taking it on ends the first spell unfinished and begins the second hand’s own', async ({
  rack,
  site,
}) => {
  const ticket = await site.logPair();
  const tablet = await rack.open({ site, name: 'Taken on' });
  await inAndHandOver(tablet, site.badges, ticket);
  await tablet.wedge(ticket);
  await tablet.tap(answerLabels.takeOn);
  await tablet.expectClockedIn();

  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Taken on');
  expect(onlyOne(stored, 'clocked-out')).toMatchObject({ by: TOMASZ, outcome: 'not-finished' });
  expect(stored.filter(({ kind }) => kind === 'clocked-in').map(({ by }) => by)).toEqual([INES, TOMASZ]);
});

async function inAndHandOver(
  tablet: Tablet,
  badges: { readonly ines: string; readonly tomasz: string },
  ticket: string,
): Promise<void> {
  await tablet.badgeOn(badges.ines, INES_NAME);
  await tablet.wedge(ticket);
  await tablet.expectClockedIn();
  await tablet.wedge(badges.tomasz);
  const line = bench.handedOver(INES_NAME, TOMASZ_NAME, 1);
  await expect(tablet.says).toHaveText(line.says);
  await expect(tablet.next).toHaveText(line.next);
  await expect(tablet.who).toContainText(TOMASZ_NAME);
}

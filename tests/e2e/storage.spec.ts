/** A tablet without room: nothing is shown as made that is not, and what could not be made is made once later. */
import { expect } from 'playwright/test';
import { actions, bench, troubles } from '../../src/words/bench.ts';
import { test } from '../support/bench-test.ts';
import { INES, TOMASZ } from '../support/builders.ts';
import type { Site } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import type { Tablet } from '../support/tablet.ts';
import type { TabletRack } from '../support/tablet-rack.ts';

test('with no room left nothing is shown as recorded; with room again, trying again makes it once', async ({
  rack,
  site,
}) => {
  const ticket = await site.logPair();
  const tablet = await openWithRoom(rack, site, 'No room');
  const full = troubles.full;
  if (full === undefined) throw new Error('there are no words for a full tablet');
  await tablet.wedge(ticket);
  await expect(tablet.says).toHaveText(full.says);
  await expect(tablet.next).toHaveText(full.next);
  await expect(tablet.page.locator('h2.code')).toHaveCount(0);
  await expect(tablet.who).toContainText('0 open');
  await tablet.tap(actions.tryAgain);
  await expect(tablet.says).toHaveText(full.says);
  // Another scan does not push the unrecorded one aside.
  await tablet.wedge(site.badges.tomasz);
  await expect(tablet.says).toHaveText(full.says);
  await expect(tablet.who).toContainText('Ines Okafor');
  expect((await recordsOfBench(site.ledgerFile, 'No room')).map(({ kind }) => kind)).toEqual([
    'bench-set',
    'badged-on',
  ]);

  await tablet.page.evaluate(giveRoomBack);
  await tablet.tap(actions.tryAgain);
  await tablet.expectClockedIn();
  await expect(tablet.who).toContainText('1 open');
  await tablet.wedge(ticket);
  await tablet.expectClockedOut();
  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'No room');
  expect(stored.map(({ seq }) => seq)).toEqual([1, 2, 3, 4]);
  expect(onlyOne(stored, 'clocked-out').of).toBe(onlyOne(stored, 'clocked-in').id);
});

test('left unrecorded it stays unrecorded, and the bench goes on', async ({ rack, site }) => {
  const [left, made] = [await site.logPair(), await site.logPair()];
  const tablet = await openWithRoom(rack, site, 'Left unrecorded');
  await tablet.wedge(left);
  await tablet.tap(actions.giveUp);
  await tablet.page.evaluate(giveRoomBack);
  await tablet.wedge(made);
  await tablet.expectClockedIn();
  await tablet.allSent();
  expect(onlyOne(await recordsOfBench(site.ledgerFile, 'Left unrecorded'), 'clocked-in').pair).toBe(made);
});

test('a hand-over, two records of one act, is not half made, not after a new start either, and is made whole later', async ({
  rack,
  site,
}) => {
  const tablet = await openWithRoom(rack, site, 'Full at hand-over');
  const full = troubles.full?.says ?? '';
  await tablet.wedge(site.badges.tomasz);
  await expect(tablet.says).toHaveText(full);
  await tablet.page.reload();
  await expect(tablet.who).toContainText('Ines Okafor');
  await tablet.wedge(site.badges.tomasz);
  await expect(tablet.says).toHaveText(full);
  await expect(tablet.who).toContainText('Ines Okafor');

  await tablet.page.evaluate(giveRoomBack);
  await tablet.tap(actions.tryAgain);
  await expect(tablet.says).toHaveText(bench.handedOver('Ines Okafor', 'Tomasz Lindqvist', 0).says);
  await expect(tablet.who).toContainText('Tomasz Lindqvist');
  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Full at hand-over');
  expect(stored.map(({ seq, kind, by }) => [seq, kind, by])).toEqual([
    [1, 'bench-set', null],
    [2, 'badged-on', INES],
    [3, 'badged-off', INES],
    [4, 'badged-on', TOMASZ],
  ]);
});

/** The app and its parts take some 3 MB; the rest is filled with something else, as a tablet's own storage is. */
const ROOM_BYTES = 12 * 2 ** 20;

async function openWithRoom(rack: TabletRack, site: Site, name: string): Promise<Tablet> {
  const tablet = await rack.open({ site, name, roomBytes: ROOM_BYTES });
  await tablet.installed();
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.allSent();
  await tablet.page.evaluate(takeAllRoom);
  return tablet;
}

/** Runs in the page: writes into a store of its own until not even some letters more go in. */
async function takeAllRoom(): Promise<void> {
  const store = await new Promise<IDBDatabase>((resolve, reject) => {
    const opening = indexedDB.open('something-else', 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore('filling', { autoIncrement: true });
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
  const write = (bytes: number) =>
    new Promise<boolean>((resolve) => {
      const writing = store.transaction('filling', 'readwrite', { durability: 'strict' });
      // Random, since the store packs what repeats.
      const filling = crypto.getRandomValues(new Uint8Array(bytes));
      writing.objectStore('filling').add(filling);
      writing.oncomplete = () => resolve(true);
      writing.onabort = () => resolve(false);
    });
  for (const bytes of [60_000, 6_000, 600, 60, 6]) while (await write(bytes));
  store.close();
}

/** Runs in the page. */
function giveRoomBack(): Promise<void> {
  return new Promise((resolve, reject) => {
    const deleting = indexedDB.deleteDatabase('something-else');
    deleting.onsuccess = () => resolve();
    deleting.onerror = () => reject(deleting.error);
  });
}

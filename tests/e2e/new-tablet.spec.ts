/**
 * A tablet that is new to a site: it reads what is in the works and what left lately, and nothing of what left long
 * ago; what it has not heard of it fetches before it says anything about it.
 */
import { expect, type Page } from 'playwright/test';
import { issueTicket } from '../../src/domain/code.ts';
import { placeOf } from '../../src/domain/cursor.ts';
import type { PairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { test } from '../support/bench-test.ts';
import { WLT } from '../support/builders.ts';
import type { Site } from '../support/site.ts';
import { query } from '../support/sqlite-client.ts';

const OLD_PAIRS = 5;
const LANE_OF_LAST_YEAR = 500;
const TORN = 'welt torn at the waist, left';
/** The live stream looks for what another process has written every fifteen seconds. */
const NEWS_MS = 30_000;

test('a new tablet knows the torn welt of an open pair and nothing of pairs that left long ago, until they are touched', async ({
  rack,
  ownSite: site,
}) => {
  const left = await leftLongAgo(site);
  const [back] = left;
  if (back === undefined) throw new Error('no pair has left');
  const long = Date.now() - 40 * DAY_MS;
  const ticket = issueTicket(LANE_OF_LAST_YEAR, 100).pair;
  await site.append(
    site.office.write('pair-logged', { pair: ticket, at: long }),
    site.office.write('noted', { pair: ticket, text: TORN, weight: 'ask', seeAt: [WLT], at: long + HOUR_MS }),
  );
  await site.start();

  const asked: string[] = [];
  const tablet = await rack.open({ site, name: 'New bench' });
  tablet.page.on('request', (request) => asked.push(new URL(request.url()).pathname));
  expect(await pairsHeld(tablet.page)).toEqual([ticket]);
  expect(await settingOf(tablet.page, 'readIn')).toBe(true);

  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.wedge(ticket);
  await expect(tablet.page.locator('.main')).toContainText(TORN);

  // The owner brings a pair back that left two months ago.
  await site.append(site.office.write('noted', { pair: back, text: 'heel worn again', at: Date.now() }));
  await expect.poll(() => recordsHeld(tablet.page, back), { timeout: NEWS_MS }).toBe(3);
  expect(asked).toContain(`/api/pair/${back}`);
  expect((await pairsHeld(tablet.page)).sort()).toEqual([ticket, back].sort());
  const [{ head }] = (await query(site.ledgerFile, 'select max(pos) as head from records')) as [
    { head: number },
  ];
  await expect.poll(async () => placeOf((await settingOf(tablet.page, 'cursor')) as never)?.pos).toBe(head);
});

/** Pairs that were logged and handed back two months ago. */
async function leftLongAgo(site: Site): Promise<readonly PairId[]> {
  const pairs: PairId[] = [];
  let at = Date.now() - 60 * DAY_MS;
  for (let counter = 0; pairs.length < OLD_PAIRS; at += 2 * DAY_MS) {
    const { pair, next } = issueTicket(LANE_OF_LAST_YEAR, counter);
    counter = next;
    await site.append(
      site.office.write('pair-logged', { pair, at }),
      site.office.write('handed-back', { pair, at: at + DAY_MS }),
    );
    pairs.push(pair);
  }
  return pairs;
}

const pairsHeld = async (page: Page) => [
  ...new Set((await page.evaluate(readRecords)).flatMap(({ pair }) => pair ?? [])),
];

const recordsHeld = async (page: Page, pair: PairId) =>
  (await page.evaluate(readRecords)).filter((row) => row.pair === pair).length;

/** Runs in the page. */
function readRecords(): Promise<readonly { readonly pair: string | null }[]> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('waxend');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const reading = opening.result.transaction('records').objectStore('records').getAll();
      reading.onsuccess = () => resolve(reading.result.map(({ pair }) => ({ pair })));
      reading.onerror = () => reject(reading.error);
      opening.result.close();
    };
  });
}

function settingOf(page: Page, name: string): Promise<unknown> {
  return page.evaluate(
    (asked) =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open('waxend');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const reading = opening.result.transaction('settings').objectStore('settings').get(asked);
          reading.onsuccess = () => resolve(reading.result);
          reading.onerror = () => reject(reading.error);
          opening.result.close();
        };
      }),
    name,
  );
}

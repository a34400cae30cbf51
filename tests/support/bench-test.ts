/** Playwright's `test` with a running site and a rack of tablets; what `watch.ts` finds fails the test at its end. */
import { test as base, expect } from 'playwright/test';
import { fullSite, openSite, type Site } from './site.ts';
import { TabletRack } from './tablet-rack.ts';

export const test = base.extend<{ rack: TabletRack; ownSite: Site; ownFullSite: Site }, { site: Site }>({
  /** For tests that do it no harm; each sets up benches of its own. */
  site: [
    // biome-ignore lint/correctness/noEmptyPattern: Playwright reads the names of what a fixture needs from here.
    async ({}, use) => {
      const site = await openSite();
      await site.start();
      await use(site);
      await site.close();
    },
    { scope: 'worker', timeout: 60_000 },
  ],
  /** A site of the test's own, its server not started yet. */
  // biome-ignore lint/correctness/noEmptyPattern: Playwright reads the names of what a fixture needs from here.
  ownSite: async ({}, use) => {
    const site = await openSite();
    await use(site);
    await site.close();
  },
  /** The same, as a site begins today: with every stage, route, way, reminder and machine of the catalogue. */
  // biome-ignore lint/correctness/noEmptyPattern: Playwright reads the names of what a fixture needs from here.
  ownFullSite: async ({}, use) => {
    const site = await fullSite();
    await use(site);
    await site.close();
  },
  rack: async ({ browser }, use) => {
    const rack = new TabletRack(browser);
    await use(rack);
    await rack.putAway();
    expect(rack.troubles).toEqual([]);
  },
});

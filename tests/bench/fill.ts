/** A new tablet is set up and reads everything that the server holds: how the others get their full store, and how long it takes. */
import type { Factory } from './factory.ts';
import type { Figure } from './figure.ts';
import { bundled, onTablet } from './tablet.ts';
import type {} from './web/ledger-probe.ts';
import type {} from './web/scan-probe.ts';

const PATIENCE_MS = 240_000;
const LOOK_EVERY_MS = 500;

/** Leaves in `profile` a tablet that is set up, has read everything, has somebody on and can start without a server. */
export async function fill(profile: string, factory: Factory): Promise<Figure> {
  const probe =
    (await bundled(new URL('./web/ledger-probe.ts', import.meta.url))) +
    (await bundled(new URL('./web/scan-probe.ts', import.meta.url)));
  return onTablet(profile, { probe }, async (page) => {
    const from = performance.now();
    await page.goto(`${factory.url}/bench#setup=${factory.setUpCode}`);
    const head = await factory.head();
    let read = 0;
    while (read < head) {
      await page.waitForTimeout(LOOK_EVERY_MS);
      read = await page.evaluate(() => window.ledgerProbe.readTo());
      if (performance.now() - from > PATIENCE_MS) throw new Error(`only ${read} of ${head} were read`);
    }
    const seconds = (performance.now() - from) / 1000;
    await page.evaluate(() => window.scanProbe.offlineReady());
    await page.evaluate((badge) => window.scanProbe.badgeOn(badge), factory.badge);
    while ((await page.evaluate(() => window.ledgerProbe.waiting())) > 0)
      await page.waitForTimeout(LOOK_EVERY_MS);
    return {
      unit: 'records/s',
      values: { records_per_s: Math.round(head / seconds) },
      budget: {},
      baseline: null,
      runs: 1,
      how: `From the set-up code to the last of ${head} records in IndexedDB, ${Math.round(seconds)} s; page at full speed, server on the same machine.`,
    };
  });
}

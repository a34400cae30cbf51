/** A tablet that is new to a site of 5,000 open pairs: how long until it may clock pairs in. */
import type { Factory } from './factory.ts';
import { OPEN_PAIRS } from './factory.ts';
import { type Figure, round } from './figure.ts';
import { bundled, onTablet } from './tablet.ts';
import type {} from './web/ledger-probe.ts';
import type {} from './web/scan-probe.ts';

const PATIENCE_MS = 300_000;
const LOOK_EVERY_MS = 50;

/**
 * Leaves in `profile` a tablet that is set up, has read in what a new tablet is given, has somebody on and can start
 * without a server: the measurements after it go on with it.
 */
export async function newTablet(profile: string, factory: Factory): Promise<Figure> {
  const probe =
    (await bundled(new URL('./web/ledger-probe.ts', import.meta.url))) +
    (await bundled(new URL('./web/scan-probe.ts', import.meta.url)));
  return onTablet(profile, { probe }, async (page) => {
    const from = performance.now();
    await page.goto(`${factory.url}/bench#setup=${factory.setUpCode}`);
    while (!(await page.evaluate(() => window.ledgerProbe.readIn()))) {
      await page.waitForTimeout(LOOK_EVERY_MS);
      if (performance.now() - from > PATIENCE_MS) throw new Error('the tablet has not read in');
    }
    const readyMs = performance.now() - from;
    const records = await page.evaluate(() => window.ledgerProbe.records());
    const bareMs = await page.evaluate((rows) => window.ledgerProbe.bareMs(rows), records);
    await page.evaluate(() => window.scanProbe.offlineReady());
    await page.evaluate((badge) => window.scanProbe.badgeOn(badge), factory.badge);
    while ((await page.evaluate(() => window.ledgerProbe.waiting())) > 0)
      await page.waitForTimeout(LOOK_EVERY_MS);
    return {
      unit: 'ms',
      values: { ready_ms: round(readyMs) },
      budget: {},
      baseline: {
        is: 'as many rows written into a store without an index',
        values: { ready_ms: round(bareMs) },
      },
      runs: 1,
      how:
        `From the set-up code until a pair can be clocked in: ${OPEN_PAIRS} open pairs and those touched in 30 days, ` +
        `${records} records of the ${await factory.head()} that the server holds, which has just been started and folds ` +
        'them all for it; page at full speed, server on the same machine.',
    };
  });
}

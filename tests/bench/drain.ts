/** A tablet comes back after weeks without a network: how fast its outbox goes to a real server. */
import type { Factory } from './factory.ts';
import type { Figure } from './figure.ts';
import { bundled, onTablet } from './tablet.ts';
import type {} from './web/ledger-probe.ts';

const RECORDS = 10_000;
const PATIENCE_MS = 300_000;
const LOOK_EVERY_MS = 200;

/** @param profile a tablet that is set up, and whose ledger this may fill */
export async function drain(profile: string, factory: Factory): Promise<Figure> {
  const probe = await bundled(new URL('./web/ledger-probe.ts', import.meta.url));
  const before = await factory.head();
  return onTablet(profile, { probe }, async (page) => {
    await page.goto(`${factory.url}/bench`);
    await page.locator('.who').waitFor();
    await page.context().setOffline(true);
    await page.evaluate(({ pairs, records }) => window.ledgerProbe.record(pairs, records), {
      pairs: factory.due.plain.slice(0, 1_000),
      records: RECORDS,
    });
    const from = performance.now();
    await page.context().setOffline(false);
    while ((await page.evaluate(() => window.ledgerProbe.waiting())) > 0) {
      await page.waitForTimeout(LOOK_EVERY_MS);
      if (performance.now() - from > PATIENCE_MS) throw new Error('the outbox is not empty');
    }
    const seconds = (performance.now() - from) / 1000;
    const made = (await factory.head()) - before;
    if (made < RECORDS) throw new Error(`${made} records reached the server, not ${RECORDS}`);
    return {
      unit: 'records/s',
      values: { records_per_s: Math.round(RECORDS / seconds) },
      budget: {},
      baseline: null,
      runs: 1,
      how:
        `An outbox of ${RECORDS} records, from the network’s return until the server has confirmed the last and the tablet ` +
        'has noted it; page at full speed, server on the same machine.',
    };
  });
}

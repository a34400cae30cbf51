/** What the ledger's promise costs: one clock-in made durable among 200,000 records. */
import type { Factory } from './factory.ts';
import { type Figure, p50AndP95 } from './figure.ts';
import { bundled, onTablet, SLOW_DOWN } from './tablet.ts';
import type {} from './web/ledger-probe.ts';

const COMMITS = 120;
const WARM_UP = 10;
const REST_MS = 50;

export async function recordCommit(profile: string, { url, due: { plain: due } }: Factory): Promise<Figure> {
  const probe = await bundled(new URL('./web/ledger-probe.ts', import.meta.url));
  const commits: number[] = [];
  const bare: number[] = [];
  await onTablet(profile, { probe, slowDown: SLOW_DOWN }, async (page) => {
    // An answer of the server's interface is a page of the app's origin without the app in it.
    await page.goto(`${url}/api/health`);
    for (let run = -WARM_UP; run < COMMITS; run += 1) {
      const pair = due[(run + WARM_UP) % due.length];
      if (pair === undefined) throw new Error('no pair is due here');
      const { commitMs, bareMs } = await page.evaluate((id) => window.ledgerProbe.commit(id), pair);
      await page.waitForTimeout(REST_MS);
      if (run < 0) continue;
      commits.push(commitMs);
      bare.push(bareMs);
    }
  });
  return {
    unit: 'ms',
    values: p50AndP95(commits),
    budget: { p95_ms: 50 },
    baseline: {
      is: 'the same row put strictly into an IndexedDB store without indexes, same page',
      values: p50AndP95(bare),
    },
    runs: commits.length,
    how: `commit() of one clock-in draft until it resolves; page's thread ${SLOW_DOWN} times slower.`,
  };
}

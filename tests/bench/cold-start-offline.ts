/** The morning without a network: the browser is started, no server answers, and the bench comes up. */
import type { Factory } from './factory.ts';
import { type Figure, quantile, round } from './figure.ts';
import { bundled, onTablet, SLOW_DOWN } from './tablet.ts';
import type { Start } from './web/start-probe.ts';

const STARTS = 7;

/** @param factory whose server has been stopped */
export async function coldStartOffline(profile: string, { url }: Factory): Promise<Figure> {
  const probe = await bundled(new URL('./web/start-probe.ts', import.meta.url));
  const starts: Start[] = [];
  for (let run = 0; run < STARTS; run += 1) {
    starts.push(
      await onTablet(profile, { probe, slowDown: SLOW_DOWN }, async (page) => {
        await page.goto(`${url}/bench`);
        return page.evaluate(() => window.startProbe.measured());
      }),
    );
  }
  const lcp = starts.map(({ lcpMs }) => lcpMs);
  const ready = starts.map(({ readyMs }) => readyMs);
  return {
    unit: 'ms',
    values: {
      lcp_ms: round(quantile(lcp, 0.5)),
      lcp_worst_ms: round(Math.max(...lcp)),
      ready_ms: round(quantile(ready, 0.5)),
      ready_worst_ms: round(Math.max(...ready)),
    },
    budget: { lcp_worst_ms: 1_500, ready_worst_ms: 1_500 },
    baseline: null,
    runs: starts.length,
    how:
      'From asking for the page in a browser just started to the largest contentful paint, and to the bench that ' +
      `can be scanned at; page's thread ${SLOW_DOWN} times slower, the service worker's and the store's are not.`,
  };
}

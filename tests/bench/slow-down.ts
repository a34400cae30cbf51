/** Whether the page is as slow as it was to be: the browser's word alone would leave the other figures hanging on it. */
import type { Factory } from './factory.ts';
import { type Figure, quantile, round } from './figure.ts';
import { onTablet, SLOW_DOWN } from './tablet.ts';

const RUNS = 9;

export async function slowDown(profile: string, factory: Factory): Promise<Figure> {
  const asItIs = await plainWorkMs(profile, factory, 1);
  const slowed = await plainWorkMs(profile, factory, SLOW_DOWN);
  return {
    unit: 'times',
    values: { times: round(slowed / asItIs) },
    budget: {},
    baseline: null,
    runs: RUNS,
    how: `The same sum over 30 million numbers, at full speed and with ${SLOW_DOWN} asked of the browser; medians.`,
  };
}

async function plainWorkMs(profile: string, { url }: Factory, times: number): Promise<number> {
  return onTablet(profile, { slowDown: times }, async (page) => {
    await page.goto(`${url}/api/health`);
    const runs: number[] = [];
    for (let run = 0; run < RUNS; run += 1) {
      runs.push(
        await page.evaluate(() => {
          const at = performance.now();
          let sum = 0;
          for (let n = 0; n < 3e7; n += 1) sum += n % 7;
          return sum > 0 ? performance.now() - at : 0;
        }),
      );
    }
    return quantile(runs, 0.5);
  });
}

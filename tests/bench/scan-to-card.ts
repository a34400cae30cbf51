/** The one thing that a hand waits for: from a ticket's scan to the pair's card on the screen. */
import type { Page } from 'playwright';
import type { Factory } from './factory.ts';
import { type Figure, p50AndP95, quantile, round } from './figure.ts';
import { bundled, onTablet, SLOW_DOWN } from './tablet.ts';
import type {} from './web/scan-probe.ts';

const PAIRS = 80;
const WARM_UP_PAIRS = 5;
/** So many pairs are on the rack at once: each is clocked out when the third after it has been clocked in. */
const ON_THE_RACK = 3;
/** A pair with notes to look at comes after so many without. */
const NOTED_AFTER = 4;
/** Between two scans; long enough for the sync that a scan starts to come across the next one. */
const REST_MS = 400;

export async function scanToCard(profile: string, factory: Factory): Promise<Figure> {
  const probe = await bundled(new URL('./web/scan-probe.ts', import.meta.url));
  const before = await factory.clockings();
  const { scans, noted, plain, expected } = await onTablet(
    profile,
    { probe, slowDown: SLOW_DOWN },
    async (page) => {
      await page.goto(`${factory.url}/bench`);
      await page.locator('.who b').waitFor();
      return workThrough(page, factory.due);
    },
  );
  // A card without a record behind it would be quick. With the work goes what it says besides, a pair of lasts taken for one.
  const made = (await factory.clockings()) - before;
  if (made !== expected)
    throw new Error(`${made} clock-ins and clock-outs reached the server, not ${expected}`);
  return {
    unit: 'ms',
    values: { ...p50AndP95(scans), withNotes_p95_ms: round(quantile(noted, 0.95)) },
    budget: { p95_ms: 100, withNotes_p95_ms: 100 },
    baseline: {
      is: 'one row written strictly to IndexedDB and one text painted, same page',
      values: p50AndP95(plain),
    },
    runs: scans.length,
    how:
      `A wedge scanner's Enter to the second frame after the card; ${PAIRS} pairs clocked in and out, the record ` +
      `made durable in between; ${noted.length} more whose notes come first, where none is made. ` +
      `Page's thread ${SLOW_DOWN} times slower, sync running, camera off.`,
  };
}

interface Worked {
  readonly scans: readonly number[];
  readonly noted: readonly number[];
  readonly plain: readonly number[];
  /** Clock-ins and clock-outs that must have been made. */
  readonly expected: number;
}

async function workThrough(page: Page, due: Factory['due']): Promise<Worked> {
  const pairs = due.plain.slice(0, WARM_UP_PAIRS + PAIRS);
  if (pairs.length < WARM_UP_PAIRS + PAIRS) throw new Error(`only ${pairs.length} pairs are due here`);
  const [scans, noted, plain]: [number[], number[], number[]] = [[], [], []];
  for (const [index, pair] of pairs.entries()) {
    const took = [await scan(page, pair, 'go')];
    const done = pairs[index - ON_THE_RACK];
    if (done !== undefined) took.push(await scan(page, done, 'go'));
    const withNotes = index % NOTED_AFTER === 0 ? due.noted[index / NOTED_AFTER] : undefined;
    if (withNotes !== undefined) noted.push(await scan(page, withNotes, 'mind'));
    const wrote = await page.evaluate(() => window.scanProbe.writeAndPaint());
    if (index < WARM_UP_PAIRS) continue;
    scans.push(...took);
    plain.push(wrote);
  }
  // The last records are on their way.
  await page.waitForTimeout(1_000);
  return { scans, noted, plain, expected: pairs.length * 2 - ON_THE_RACK };
}

async function scan(page: Page, pair: string, tone: 'go' | 'mind'): Promise<number> {
  const ms = await page.evaluate(([ticket, shown]) => window.scanProbe.scanToCard(ticket, shown), [
    pair,
    tone,
  ] as const);
  await page.waitForTimeout(REST_MS);
  return ms;
}

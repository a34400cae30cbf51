/**
 * npm run bench -- --out FILE: measures the app as it is built from these sources, writes the figures as JSON and
 * prints them as a table. Each figure stands beside its budget and, where another machine would give another figure,
 * beside something plain that was measured with it.
 *
 * It takes some five minutes and wants the machine for itself: the load stands beside each figure.
 *
 * `firstLoad`          script before the bench page works             first-load.ts
 * `newTablet`          set up at a site of 5,000 open pairs           new-tablet.ts
 * `slowDown`           how much slower the page truly is made       slow-down.ts
 * `scanToCard`         a ticket's scan to the card on the screen      scan-to-card.ts
 * `recordCommit`       one record made durable                        record-commit.ts
 * `drain`              an outbox of 10,000 records to the server      drain.ts
 * `coldStartOffline`   the browser started without a server           cold-start-offline.ts
 * `fanout`             a record to 200 listening tablets              fanout.ts
 * `ingest`             records into a real server over HTTP           ingest.ts
 * `server`             the server's memory under that load            ingest.ts
 * `forecast`           1,000 runs for 150 open pairs                   forecast.ts
 * `shiftSheet`         one shift out of three sizes of ledger          shift-sheet.ts
 *
 * `--only NAME,NAME` measures these alone (what they need is made all the same). `shiftSheet` goes up to a million records;
 * `--large` adds five million, which takes some ten minutes more.
 */
import { cp, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { build } from 'vite';
import { coldStartOffline } from './cold-start-offline.ts';
import { drain } from './drain.ts';
import { openFactory, RECORDS } from './factory.ts';
import { fanout } from './fanout.ts';
import type { Figure } from './figure.ts';
import { firstLoad } from './first-load.ts';
import { forecastMemory, forecastTime, openForecast } from './forecast.ts';
import { ingest, memory, openIngest } from './ingest.ts';
import { load } from './machine.ts';
import { newTablet } from './new-tablet.ts';
import { recordCommit } from './record-commit.ts';
import { asJson, asTable, type Measured } from './report.ts';
import { scanToCard } from './scan-to-card.ts';
import { ALL_SIZES, SOME_SIZES, shiftSheetFigure } from './shift-sheet.ts';
import { slowDown } from './slow-down.ts';

const { values: asked } = parseArgs({
  options: {
    out: { type: 'string' },
    only: { type: 'string' },
    large: { type: 'boolean', default: false },
  },
});
const only = asked.only === undefined ? null : asked.only.split(',');
const wanted = (...names: readonly string[]) => only === null || names.some((name) => only.includes(name));
const startedAt = new Date();
const folder = await mkdtemp(join(tmpdir(), 'waxend-bench-'));
const pages = join(folder, 'pages');
const profile = join(folder, 'profile');
const measured: Measured[] = [];
const ON_A_TABLET = ['newTablet', 'slowDown', 'scanToCard', 'recordCommit', 'drain', 'coldStartOffline'];

try {
  // Not what lies in dist: that may be of yesterday.
  const configFile = fileURLToPath(new URL('../../vite.config.ts', import.meta.url));
  await build({ configFile, logLevel: 'error', build: { outDir: pages, emptyOutDir: true } });
  await measure('firstLoad', () => firstLoad(pages));

  if (wanted(...ON_A_TABLET)) await onATablet();

  await measure('fanout', () => fanout(folder));

  if (wanted('ingest', 'server')) {
    const server = await openIngest(folder);
    try {
      await measure('ingest', () => ingest(folder, server));
      await measure('server', async () => memory(server));
    } finally {
      await server.close();
    }
  }

  if (wanted('forecast', 'forecastMemory')) {
    const setup = openForecast();
    await measure('forecast', async () => forecastTime(setup));
    await measure('forecastMemory', async () => forecastMemory(setup));
  }
  await measure('shiftSheet', () => shiftSheetFigure(folder, asked.large ? ALL_SIZES : SOME_SIZES, say));
} finally {
  await rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
}

if (asked.out !== undefined) {
  const out = resolve(asked.out);
  await mkdir(dirname(out), { recursive: true });
  await writeFile(out, asJson(measured, startedAt));
}
console.log(`\n${asTable(measured)}`);

/** The factory, and one browser's profile after the other on it. */
async function onATablet(): Promise<void> {
  say(`Making a factory of ${RECORDS.toLocaleString('en-GB')} records …`);
  const factory = await openFactory(folder, pages);
  try {
    await measure('newTablet', () => newTablet(profile, factory));
    // A tablet of its own for what no bench would do: a hundred pairs clocked in and none out.
    const filled = join(folder, 'filled');
    await cp(profile, filled, { recursive: true });
    await measure('slowDown', () => slowDown(filled, factory));
    await measure('scanToCard', () => scanToCard(profile, factory));
    await measure('recordCommit', () => recordCommit(filled, factory));
    await measure('drain', () => drain(filled, factory));
  } finally {
    await factory.stop();
  }
  await measure('coldStartOffline', () => coldStartOffline(profile, factory));
}

async function measure(name: string, work: () => Promise<Figure>): Promise<void> {
  if (!wanted(name)) return;
  say(`Measuring ${name} …`);
  const before = load();
  try {
    const figure = await work();
    measured.push({ name, figure, load: [before, load()] });
  } catch (fault) {
    // What has been measured before it, and what comes after, is not lost with it.
    console.error(`${name} could not be measured:`, fault);
    process.exitCode = 1;
  }
}

function say(what: string): void {
  console.log(`${String(Math.round((Date.now() - startedAt.getTime()) / 1000)).padStart(4)} s  ${what}`);
}

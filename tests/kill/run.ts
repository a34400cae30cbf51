/**
 * npm run kill -- --rounds N --store sqlite|postgres [--seed N] [--out FILE]: kills servers, see `rounds.ts`.
 * npm run kill -- --browser --rounds N [--seed N] [--out FILE]: kills a browser, see `browser-rounds.ts`.
 * Prints the account, writes it as JSON, and ends with 1 where something confirmed is not there, or is there twice.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { broken } from './account.ts';
import { brokenInReport, killBrowserRounds, wordsForBrowser } from './browser-rounds.ts';
import { killRounds, STORES, type StoreKind } from './rounds.ts';

interface Plan {
  readonly rounds: number;
  readonly seed: number;
  readonly told: (round: number) => void;
}

interface Outcome {
  readonly report: object;
  readonly words: string;
  readonly faults: readonly string[];
}

const { values: asked } = parseArgs({
  options: {
    rounds: { type: 'string', default: '20' },
    store: { type: 'string', default: 'sqlite' },
    browser: { type: 'boolean', default: false },
    seed: { type: 'string', default: String(Date.now() % 1_000_000) },
    out: { type: 'string' },
  },
});
const store = STORES.find((one) => one === asked.store);
const [rounds, seed] = [Number(asked.rounds), Number(asked.seed)];
if (store === undefined || !Number.isInteger(rounds) || rounds < 1 || !Number.isInteger(seed)) {
  console.error(`Say --browser or --store ${STORES.join(' or ')}, --rounds and --seed as whole numbers.`);
  process.exit(2);
}

const told = (round: number) => {
  if (round % 10 === 0) console.error(`${round} of ${rounds} rounds`);
};
const plan: Plan = { rounds, seed, told };
const { report, words, faults } = asked.browser ? await killBrowser(plan) : await killServers(store, plan);
const text = `${JSON.stringify(report, null, 2)}\n`;
if (asked.out !== undefined) {
  mkdirSync(dirname(resolve(asked.out)), { recursive: true });
  writeFileSync(asked.out, text);
}
console.log(text);
console.log(faults.length === 0 ? words : faults.join(', '));
process.exitCode = faults.length === 0 ? 0 : 1;

async function killServers(at: StoreKind, how: Plan): Promise<Outcome> {
  const report = await killRounds({ store: at, ...how });
  const faults = [...broken(report), ...(report.fell > 0 ? [`${report.fell} servers fell`] : [])];
  return { report, words: 'Everything that was confirmed is there, once.', faults };
}

async function killBrowser(how: Plan): Promise<Outcome> {
  const report = await killBrowserRounds(how);
  const words = `${wordsForBrowser(report)}. Everything that was shown as made is there, once.`;
  return { report, words, faults: brokenInReport(report) };
}

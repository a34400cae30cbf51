/**
 * npm run kill -- --rounds N --store sqlite|postgres [--seed N] [--out FILE]: see `rounds.ts`. Prints the account,
 * writes it as JSON, and ends with 1 where something confirmed is not there, or is there twice.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { broken } from './account.ts';
import { killRounds, STORES } from './rounds.ts';

const { values: asked } = parseArgs({
  options: {
    rounds: { type: 'string', default: '20' },
    store: { type: 'string', default: 'sqlite' },
    seed: { type: 'string', default: String(Date.now() % 1_000_000) },
    out: { type: 'string' },
  },
});
const store = STORES.find((one) => one === asked.store);
const [rounds, seed] = [Number(asked.rounds), Number(asked.seed)];
if (store === undefined || !Number.isInteger(rounds) || rounds < 1 || !Number.isInteger(seed)) {
  console.error(`Say --store ${STORES.join(' or ')}, --rounds and --seed as whole numbers.`);
  process.exit(2);
}

const report = await killRounds({
  store,
  rounds,
  seed,
  told: (round) => {
    if (round % 10 === 0) console.error(`${round} of ${rounds} rounds`);
  },
});
const text = `${JSON.stringify(report, null, 2)}\n`;
if (asked.out !== undefined) {
  mkdirSync(dirname(resolve(asked.out)), { recursive: true });
  writeFileSync(asked.out, text);
}
console.log(text);
const faults = [...broken(report), ...(report.fell > 0 ? [`${report.fell} servers fell`] : [])];
console.log(faults.length === 0 ? 'Everything that was confirmed is there, once.' : faults.join(', '));
process.exitCode = faults.length === 0 ? 0 : 1;

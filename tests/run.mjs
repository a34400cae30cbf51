// npm test: gets what is missing, starts a PostgreSQL for the run where it can, then runs the unit, property,
// standards, contract and kill tests and the browser tests, and ends with one line that counts them all.
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import {
  chromiumPath,
  needsBuild,
  needsNode,
  needsPackages,
  needsTestTools,
  root,
  run,
  wantsPostgres,
} from '../.ci/prepare.mjs';

needsNode();
needsPackages();
needsTestTools();
needsBuild();
const postgres = await startedPostgres();

const reports = join(root, 'test-results');
rmSync(reports, { recursive: true, force: true });
mkdirSync(reports, { recursive: true });
const env = { ...process.env, CHROMIUM: chromiumPath(), WAXEND_TEST_POSTGRES: postgres.url };

const vitestReport = join(reports, 'vitest.json');
const vitest = run(
  'npx',
  ['vitest', 'run', '--reporter=default', '--reporter=json', `--outputFile.json=${vitestReport}`],
  { env },
);
const playwrightReport = join(reports, 'playwright.json');
const playwright = run('npx', ['playwright', 'test', '-c', 'tests/e2e/playwright.config.ts'], {
  env: { ...env, PLAYWRIGHT_JSON_OUTPUT_NAME: playwrightReport },
});

const read = (file) => {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return null;
  }
};
const unit = read(vitestReport);
const browser = read(playwrightReport)?.stats;
// A runner that ended without a report counts as a failure: no report is not «nothing failed».
const passed = (unit?.numPassedTests ?? 0) + (browser?.expected ?? 0);
const failedTests = (unit?.numFailedTests ?? 1) + (browser ? browser.unexpected + browser.flaky : 1);
const skipped = (unit?.numPendingTests ?? 0) + (browser?.skipped ?? 0);
const failed = failedTests === 0 && (vitest !== 0 || playwright !== 0) ? 1 : failedTests;
if (skipped > 0) {
  console.log(
    `\nSkipped:\n${skippedTests()
      .map((name) => `  ${name}`)
      .join('\n')}`,
  );
}
if (postgres.without !== null)
  console.log(`\nWithout PostgreSQL, and so without its tests: ${postgres.without}`);
console.log(`\n${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
process.exit(failed === 0 ? 0 : 1);

/** One for the whole run, told to the tests by its address; or why there is none. */
async function startedPostgres() {
  const { register } = await import('tsx/esm/api');
  register();
  const { postgresPrograms, startPostgres } = await import('./support/postgres-cluster.ts');
  wantsPostgres(() => postgresPrograms() !== null);
  const programs = postgresPrograms();
  if (programs === null) {
    return { url: 'none', without: 'initdb is not here, and Debian’s postgresql could not be installed.' };
  }
  try {
    const cluster = startPostgres(programs);
    process.on('exit', () => cluster.stop());
    for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => process.exit(1));
    return { url: cluster.url(), without: null };
  } catch (fault) {
    return { url: 'none', without: fault.message };
  }
}

/** Names of the files with skipped tests, and how many of them each has. */
function skippedTests() {
  const inUnit = (unit?.testResults ?? []).flatMap(({ name, assertionResults }) => {
    const count = assertionResults.filter(
      ({ status }) => status === 'pending' || status === 'skipped',
    ).length;
    return count === 0 ? [] : [`${relative(root, name)}: ${count}`];
  });
  const inBrowser = browser?.skipped ? [`tests/e2e: ${browser.skipped}`] : [];
  return [...inUnit, ...inBrowser];
}

// npm test: gets what is missing, then runs the unit, property, standards and contract tests and the browser tests,
// and ends with one line that counts them all.
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import {
  chromiumPath,
  needsBuild,
  needsNode,
  needsPackages,
  needsTestTools,
  root,
  run,
} from '../.ci/prepare.mjs';

needsNode();
needsPackages();
needsTestTools();
needsBuild();

const reports = join(root, 'test-results');
rmSync(reports, { recursive: true, force: true });
mkdirSync(reports, { recursive: true });
const env = { ...process.env, CHROMIUM: chromiumPath() };

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
console.log(`\n${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
process.exit(failed === 0 ? 0 : 1);

import { defineConfig } from 'playwright/test';
import { ARGS, EXECUTABLE } from '../support/chromium.ts';

export default defineConfig({
  testDir: '.',
  testMatch: '*.spec.ts',
  outputDir: '../../test-results/browser',
  fullyParallel: false,
  workers: 1,
  timeout: 90_000,
  expect: { timeout: 10_000 },
  forbidOnly: true,
  retries: 0,
  // Without a file to go to, the JSON would fill the screen.
  reporter: process.env.PLAYWRIGHT_JSON_OUTPUT_NAME === undefined ? 'list' : [['list'], ['json']],
  use: { launchOptions: { executablePath: EXECUTABLE, args: ARGS } },
});

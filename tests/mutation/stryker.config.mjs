/**
 * Mutation testing: is there a test that notices when a line of the domain, or of the sync loop, says something
 * else? What comes out lies in the folder for temporary files; no report belongs in the project.
 *
 * One slice: `npm run mutate -- --mutate "src/domain/fold/*.ts"`; with `--testFiles "tests/unit/pair*.test.ts"` against its
 * own tests alone, which takes minutes. Patterns are parted by commas. `--force` leaves nothing to the last run.
 */
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const out = join(tmpdir(), 'waxend-mutation');

/** @type {import('@stryker-mutator/api/core').PartialStrykerOptions} */
export default {
  testRunner: 'vitest',
  plugins: ['@stryker-mutator/vitest-runner', import.meta.resolve('./wording.mjs')],
  vitest: { configFile: 'tests/mutation/vitest.config.ts', related: false },
  coverageAnalysis: 'perTest',
  // What runs once when a module is loaded, tables and schemas, would cost a whole run of the tests each.
  ignoreStatic: true,
  ignorers: ['wording'],
  mutate: [
    'src/domain/fold/*.ts',
    'src/domain/{code,check-character,intent,begin,way,route,cursor,clock-offset}.ts',
    'src/domain/record/{reading,envelope}.ts',
    'src/tablet/sync/*.ts',
  ],
  concurrency: 1,
  timeoutMS: 60_000,
  incremental: true,
  incrementalFile: join(out, 'results.json'),
  tempDirName: join(out, 'copy'),
  ignorePatterns: ['dist', 'data', 'test-results', 'playwright-report'],
  reporters: ['clear-text', 'html'],
  clearTextReporter: { allowColor: false, reportTests: false, allowEmojis: false },
  htmlReporter: { fileName: join(out, 'report.html') },
};

/** The tests that a mutant has to get past: those that need no server, database, browser, camera or paper. */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';
import { ShortestFirst } from './shortest-first.ts';

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  define: { __VERSION__: JSON.stringify('0.0.0') },
  test: {
    root: fileURLToPath(new URL('../..', import.meta.url)),
    include: [
      'tests/unit/{bench-fold,bench-open,begin,check-character*,clock-*,code*,cursor*,drafts}.test.ts',
      'tests/unit/{intent,intent-end,intent-edges,order*,owner*,own-codes,pair*,record*,route*,site-*,sync-*}.test.ts',
      'tests/unit/{ticket-pattern,to-look-at,uuid,way*,whereabouts}.test.ts',
      'tests/property/{code,intent,order,pair,route,way}.test.ts',
      'tests/standards/{iso-7064,ntp,routes,uuid}.test.ts',
    ],
    setupFiles: ['tests/support/property-seed.ts', 'tests/mutation/cut-short.ts'],
    sequence: { sequencer: ShortestFirst },
    testTimeout: 30_000,
    isolate: false,
    maxWorkers: 1,
  },
});

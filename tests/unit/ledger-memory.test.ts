/** The memory ledger of the tests keeps the promises of the one that ships. */
import { test } from 'vitest';
import { TABLET_LEDGER_CASES } from '../contract/tablet-ledger.ts';
import { MemoryLedger, MemoryStore } from '../support/memory-ledger.ts';

test.each(TABLET_LEDGER_CASES)('$name', async ({ run }) => {
  const store = new MemoryStore();
  await run(() => new MemoryLedger(store));
});

/** The photographs in memory of the tests keep the promises of the ones that ship. */
import { test } from 'vitest';
import { BUDGET_BYTES, PHOTO_STORE_CASES } from '../contract/photo-store.ts';
import { MemoryPhotos } from '../support/memory-photos.ts';

test.each(PHOTO_STORE_CASES)('$name', async ({ run }) => {
  const rows = new Map();
  await run(() => new MemoryPhotos(rows, BUDGET_BYTES));
});

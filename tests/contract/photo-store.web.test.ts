/** The photographs that ship, over the IndexedDB of a real browser: the contract, and what only a browser can do. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { PHOTO_STORE_CASES, photoOf } from './photo-store.ts';
import { type PageServer, type RunningBrowser, servePage, startBrowser } from './web/browser.ts';
import type {} from './web/ledger-page.ts';

let server: PageServer;
let browser: RunningBrowser;
let page: Page;
let profile: string;

beforeAll(async () => {
  profile = await mkdtemp(join(tmpdir(), 'waxend-photos-'));
  server = await servePage(new URL('./web/ledger-page.ts', import.meta.url));
  browser = await startBrowser(profile);
  page = await browser.newPage(server.url);
}, 60_000);

afterAll(async () => {
  await browser?.close();
  await server?.close();
  await rm(profile, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
}, 30_000);

test.each(PHOTO_STORE_CASES)('$name', ({ name }) =>
  page.evaluate((name) => window.ledgerPage.runPhotoCase(name), name),
);

test('every writing asks for strict durability', async () => {
  const durabilities = await page.evaluate(async () => {
    window.ledgerPage.open('strict');
    await window.ledgerPage.outbox('strict');
    window.ledgerPage.breakStore({ at: 1e9, sticky: false, how: { is: 'aborts' } });
    await window.ledgerPage.keepPhoto('strict', 1);
    await window.ledgerPage.markPhotoAtServer('strict', 1);
    return window.ledgerPage.breakStore(null).durabilities;
  });
  expect(durabilities).toEqual(['strict', 'strict']);
});

test('a photograph that was said to be kept is there, whole, after the browser was killed', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'waxend-killed-'));
  try {
    const victim = await startBrowser(folder);
    const before = await victim.newPage(server.url);
    const trouble = await before.evaluate(async () => {
      window.ledgerPage.open('killed');
      return window.ledgerPage.keepPhoto('killed', 1, 400_000);
    });
    await victim.kill();
    expect(trouble).toBeNull();
    const again = await startBrowser(folder);
    const after = await again.newPage(server.url);
    const size = await after.evaluate(() => {
      window.ledgerPage.open('killed');
      return window.ledgerPage.photoSize('killed', 1);
    });
    await again.close();
    expect(size).toBe(400_000);
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
  }
}, 60_000);

test('a tablet that is full says so, and gives up nothing that waits', async () => {
  // Another host name is another origin, whose room is its own.
  const small = await browser.newPage(server.url.replace('127.0.0.1', 'localhost'));
  const cdp = await small.context().newCDPSession(small);
  const { origin } = new URL(small.url());
  await cdp.send('Storage.overrideQuotaForOrigin', { origin, quotaSize: 2_000_000 });
  const { kept, trouble } = await small.evaluate(async () => {
    window.ledgerPage.open('full');
    for (let kept = 0; ; kept += 1) {
      const trouble = await window.ledgerPage.keepPhoto('full', kept, 300_000);
      if (trouble !== null || kept > 100) return { kept, trouble };
    }
  });
  expect(trouble).toBe('full');
  expect(kept).toBeGreaterThan(0);
  expect(await small.evaluate(() => window.ledgerPage.photosWaiting('full'))).toEqual(
    Array.from({ length: kept }, (_, number) => photoOf(number).photo),
  );
  await small.close();
});

test('a tablet that goes to another body of data forgets its photographs, but none that waits', async () => {
  const outcome = await page.evaluate(async () => {
    window.ledgerPage.open('anew');
    await window.ledgerPage.keepPhoto('anew', 1);
    const refused = await window.ledgerPage.startAnew('anew');
    const waiting = (await window.ledgerPage.photosWaiting('anew')).length;
    await window.ledgerPage.markPhotoAtServer('anew', 1);
    const allowed = await window.ledgerPage.startAnew('anew');
    return { refused, waiting, allowed, size: await window.ledgerPage.photoSize('anew', 1) };
  });
  expect(outcome).toEqual({ refused: 'RangeError', waiting: 1, allowed: null, size: null });
});

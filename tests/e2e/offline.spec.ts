/** The app as something that is installed: its manifest, what the tablet keeps of it, and a start with the server dead. */
import { expect, type Page } from 'playwright/test';
import { bench } from '../../src/words/bench.ts';
import { deskTroubles } from '../../src/words/desk.ts';
import { settingsWords } from '../../src/words/settings.ts';
import { test } from '../support/bench-test.ts';
import { neededPaths } from '../support/built-pages.ts';

interface Manifest {
  readonly name: string;
  readonly short_name: string;
  readonly start_url: string;
  readonly display: string;
  readonly icons: readonly { src: string; sizes: string; type: string; purpose: string }[];
}

test('Chromium finds the manifest without fault and the app fit to be installed', async ({ rack, site }) => {
  // Only an ordinary window can install; a context of its own is a private one.
  const tablet = await rack.open({ site, name: 'Installed', profile: await rack.newFolder() });
  await tablet.installed();
  const session = await tablet.context.newCDPSession(tablet.page);
  const { url, errors } = await session.send('Page.getAppManifest');
  expect(url).toBe(`${site.url}/manifest.webmanifest`);
  expect(errors).toEqual([]);
  expect((await session.send('Page.getInstallabilityErrors')).installabilityErrors).toEqual([]);
});

test('the manifest names what it is, and each icon is there in the size that it says', async ({
  rack,
  site,
}) => {
  const { page } = await rack.open({ site });
  const response = await page.request.get(`${site.url}/manifest.webmanifest`);
  expect(response.headers()['content-type']).toMatch(/^application\/manifest\+json/);
  const manifest: Manifest = await response.json();
  expect(manifest).toMatchObject({ name: 'Waxend', start_url: '/bench', display: 'standalone' });
  const pngs = manifest.icons.filter(({ type }) => type === 'image/png');
  for (const { src, sizes } of pngs) expect(await pngSize(page, new URL(src, site.url))).toBe(sizes);
  // 192 and 512 pixels are what browsers ask of an installable app (web.dev, «What does it take to be installable?»).
  expect(pngs.filter(({ purpose }) => purpose === 'any').map(({ sizes }) => sizes)).toEqual([
    '192x192',
    '512x512',
  ]);
  expect(manifest.icons.some(({ purpose }) => purpose === 'maskable')).toBe(true);
  const svg = await page.request.get(`${site.url}/icon.svg`);
  expect(svg.headers()['content-type']).toMatch(/^image\/svg\+xml/);
});

test('the tablet keeps every file that it needs, the decoder in WebAssembly too', async ({ rack, site }) => {
  const tablet = await rack.open({ site, name: 'Keeps all' });
  await tablet.installed();
  const kept = await tablet.page.evaluate(async () => {
    const caches = await Promise.all((await window.caches.keys()).map((name) => window.caches.open(name)));
    const requests = (await Promise.all(caches.map((cache) => cache.keys()))).flat();
    return requests.map(({ url }) => new URL(url).pathname).toSorted();
  });
  const needed = await neededPaths();
  expect(kept).toEqual(needed);
  expect(needed.filter((path) => path.endsWith('.wasm'))).toHaveLength(1);
});

test('with the server dead bench and desk start cold, and the bench reads with the same decoder', async ({
  rack,
  ownSite: site,
}) => {
  await site.start();
  const profile = await rack.newFolder();
  const film = await rack.film([{ text: 'P7K4292W', symbol: 'qr', scale: 6 }], { blankSeconds: 20 });
  let tablet = await rack.open({ site, name: 'Cold', profile, film });
  await tablet.installed();
  const desk = await tablet.context.newPage();
  await desk.goto(`${site.url}/desk#setup=${await site.setUpCode('Cold desk')}`);
  await desk.locator('.desk-stages').waitFor();
  await rack.shut(tablet);
  await site.kill();

  tablet = await rack.open({ site, profile, film });
  await expect(tablet.says).toHaveText(bench.nobodyOn.says);
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.kept.tap();
  const settings = tablet.page.locator('.settings');
  await expect(settings).toContainText(settingsWords.serverStates.unreachable);
  await expect(settings).toContainText(/zxing-wasm/);
  const coldDesk = await tablet.context.newPage();
  await coldDesk.goto(`${site.url}/desk`);
  await expect(coldDesk.getByRole('status').first()).toContainText(deskTroubles.unreachable.says);
});

/** Width and height in the IHDR chunk (PNG specification, W3C, section 11.2.2). */
async function pngSize(page: Page, url: URL): Promise<string> {
  const png = await (await page.request.get(url.href)).body();
  expect(png.subarray(1, 4).toString('latin1')).toBe('PNG');
  return `${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`;
}

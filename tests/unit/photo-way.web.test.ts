/**
 * A photograph's whole way with everything real: picked in Chromium without a network, kept in its IndexedDB, sent by
 * the uploader to the server that ships once there is one, and shown by another tablet that has only its hash.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright';
import { build } from 'vite';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Listening, listen } from '../../src/server/serve.ts';
import { SITE } from '../support/builders.ts';
import { ARGS, EXECUTABLE } from '../support/chromium.ts';
import { DATASET, type TestServer, testServer } from '../support/server.ts';

const source = (path: string) => join(process.cwd(), 'src/tablet', path);
const PAGE = `
import { IdbLedger } from '${source('ledger/idb-ledger.ts')}';
import { fetchPhoto } from '${source('photos/fetch-photo.ts')}';
import { preparePhoto } from '${source('photos/prepare.ts')}';
import { photoServer } from '${source('photos/photo-server.ts')}';
import { PhotoUploader } from '${source('photos/upload.ts')}';
import { sleep } from '${source('device/sleep.ts')}';
const ledger = new IdbLedger();
const http = (key) => photoServer({ base: location.origin, key, site: '${SITE}', fetch: fetch.bind(globalThis), now: Date.now });
window.tablet = {
  async pick() {
    const prepared = await preparePhoto(document.querySelector('#pick').files[0]);
    if (prepared.is !== 'photo') throw new Error(prepared.is);
    await ledger.photos.keep(prepared, Date.now());
    return prepared.photo;
  },
  run(key) {
    const effects = { photos: ledger.photos, ledger, server: http(key), dataset: '${DATASET}', sleep, random: () => 0.01 };
    window.uploader = new PhotoUploader(effects);
    void window.uploader.run(new AbortController().signal);
  },
  counts: () => ledger.photos.counts(),
  stateOf: async (photo) => (await ledger.photos.get(photo))?.state,
  async show(key, photo) {
    const came = await fetchPhoto({ photos: ledger.photos, server: http(key), now: Date.now }, photo, new AbortController().signal);
    if (came.is !== 'photo') return came.is;
    const image = document.querySelector('#shown');
    image.src = URL.createObjectURL(came.photo.blob);
    await image.decode();
    return [image.naturalWidth, image.naturalHeight];
  },
};
`;
const HTML =
  '<!doctype html><title>tablet</title><input id="pick" type="file"><img id="shown" alt=""><script type="module" src="/page.js"></script>';

let folder: string;
let server: TestServer;
let listening: Listening;
let browser: Browser;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'photographs-'));
  await build({
    root: folder,
    configFile: false,
    logLevel: 'error',
    build: {
      outDir: 'dist',
      // In one file: no service worker keeps parts of it for when there is no network.
      rollupOptions: { input: 'virtual:page', output: { entryFileNames: 'page.js', codeSplitting: false } },
      modulePreload: false,
    },
    plugins: [
      {
        name: 'page',
        resolveId: (id) => (id === 'virtual:page' ? id : null),
        load: (id) => (id === 'virtual:page' ? PAGE : null),
      },
    ],
  });
  await writeFile(join(folder, 'dist', 'index.html'), HTML);
  server = await testServer({ config: { staticFolder: join(folder, 'dist') } });
  listening = await listen(server.app, server.announcer, { host: '127.0.0.1', port: 0, tls: null });
  browser = await chromium.launch({ executablePath: EXECUTABLE, args: ARGS });
}, 60_000);

afterAll(async () => {
  await browser?.close();
  await listening?.stop();
  await server?.ledger.close();
  await rm(folder, { recursive: true });
});

/** A tablet with a store of its own. */
async function newTablet(): Promise<Page> {
  const page = await (await browser.newContext()).newPage();
  await page.goto(listening.url);
  await page.waitForFunction(() => 'tablet' in window);
  return page;
}

test('a photograph that was taken without a network comes to the server and to another tablet', async () => {
  const [bench, other] = [await server.enrol(), await server.enrol()];
  execFileSync('convert', ['-size', '2000x1500', 'plasma:tomato-navy', join(folder, 'welt.jpg')]);
  const page = await newTablet();
  await page.context().setOffline(true);
  await page.setInputFiles('#pick', join(folder, 'welt.jpg'));
  const photo = await page.evaluate<string>('tablet.pick()');
  await page.evaluate(`tablet.run('${bench.key}')`);
  await expect.poll(() => page.evaluate('uploader.status.server')).toBe('unreachable');
  expect(await page.evaluate('tablet.counts()')).toEqual({ waiting: 1, refused: 0 });
  expect(await server.ledger.photo(SITE, photo)).toBeNull();

  await page.context().setOffline(false);
  await expect.poll(() => page.evaluate(`tablet.stateOf('${photo}')`), { timeout: 10_000 }).toBe('at-server');
  const held = await server.ledger.photo(SITE, photo);
  expect(
    createHash('sha256')
      .update(held?.body ?? '')
      .digest('hex'),
  ).toBe(photo);

  const elsewhere = await newTablet();
  expect(await elsewhere.evaluate(`tablet.show('${other.key}', '${photo}')`)).toEqual([1600, 1200]);
  // From now on it is there without a network too.
  await elsewhere.context().setOffline(true);
  expect(await elsewhere.evaluate(`tablet.show('${other.key}', '${photo}')`)).toEqual([1600, 1200]);
  expect(await elsewhere.evaluate('tablet.counts()')).toEqual({ waiting: 0, refused: 0 });
  expect(server.logged).toEqual([]);
});

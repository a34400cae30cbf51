/**
 * Scanning in a real Chromium, built as it is shipped and served under the production content policy: the wedge
 * with real key events, and the camera with Chromium's fake one, which plays a film of symbols drawn by zint.
 */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright';
import { build } from 'vite';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { cameraFilm, drawSymbol } from '../support/symbols.ts';

const POLICY =
  "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; media-src 'self' blob:";
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.wasm': 'application/wasm',
};

const HTML = `<!doctype html><meta charset="utf-8"><title>scan</title>
<input id="note"><input id="count" type="number"><select id="pick"><option>one</option><option>Pair</option></select>
<button id="press">press</button><video id="video"></video><script type="module" src="/page.js"></script>`;

const PAGE = `
import { openScanner } from '${join(process.cwd(), 'src/tablet/scan/scanner.ts')}';
const seen = { scans: [], troubles: [], states: [], decoders: [], presses: 0, inputs: [] };
const scanner = openScanner({
  pattern: () => null,
  onScan: (scan) => seen.scans.push(scan),
  onTrouble: (trouble) => seen.troubles.push(trouble),
  onDecoder: (name) => seen.decoders.push(name),
  idleOffMs: null,
});
document.querySelector('#press').addEventListener('click', () => { seen.presses += 1; });
document.querySelector('#note').addEventListener('input', (event) => seen.inputs.push(event.target.value));
window.seen = seen;
window.scanner = scanner;
window.startCamera = () => {
  window.camera = scanner.openCamera(document.querySelector('#video'), (state) => seen.states.push(state));
};
`;

interface Seen {
  readonly scans: readonly { text: string; source: string; symbol: string | null }[];
  readonly troubles: readonly { kind: string; why?: string; layout?: string; text?: string }[];
  readonly states: readonly { kind: string; why?: string }[];
  readonly decoders: readonly (string | null)[];
  readonly presses: number;
  readonly inputs: readonly string[];
}

let folder: string;
let server: Server;
let origin: string;
let withoutWasm = false;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'scan-'));
  await build({
    root: folder,
    configFile: false,
    logLevel: 'error',
    worker: { format: 'es' },
    build: {
      outDir: 'dist',
      rollupOptions: { input: 'virtual:page', output: { entryFileNames: 'page.js' } },
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
  server = createServer((request, response) => {
    const path = request.url === '/' ? '/index.html' : (request.url ?? '');
    const missing = withoutWasm && path.endsWith('.wasm');
    const body = path === '/index.html' ? Promise.resolve(HTML) : readFile(join(folder, 'dist', path));
    body.then(
      (content) => {
        response.writeHead(missing ? 404 : 200, {
          'content-type': TYPES[extname(path)] ?? 'application/octet-stream',
          'content-security-policy': POLICY,
        });
        response.end(missing ? '' : content);
      },
      () => response.writeHead(404).end(),
    );
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  origin = `http://localhost:${(server.address() as AddressInfo).port}`;
}, 60_000);

afterAll(async () => {
  server.close();
  await rm(folder, { recursive: true });
});

let browser: Browser;
let page: Page;
let foreign: string[];

async function open(switches: readonly string[] = []): Promise<void> {
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--no-first-run',
      ...switches,
    ],
  });
  page = await browser.newPage();
  foreign = [];
  page.on('request', (request) => {
    if (!request.url().startsWith(origin) && !request.url().startsWith('blob:')) foreign.push(request.url());
  });
  await page.goto(origin);
  await page.waitForFunction(() => 'seen' in window);
}

const seen = () => page.evaluate<Seen>('window.seen');
const contentOf = (id: string) => page.locator(id).inputValue();

interface Key {
  readonly key: string;
  readonly code: string;
  readonly keyCode: number;
  /** What it types; none for keys that print nothing. */
  readonly text?: string;
  /** Chromium's bits: 1 Alt, 2 Ctrl. */
  readonly modifiers?: number;
}

const keyOf = (name: string): Key => {
  if (name === 'Enter') return { key: name, code: name, keyCode: 13, text: '\r' };
  if (name === 'Tab') return { key: name, code: name, keyCode: 9 };
  const code = /[0-9]/.test(name) ? `Digit${name}` : `Key${name.toUpperCase()}`;
  return { key: name, code, keyCode: name.toUpperCase().charCodeAt(0), text: name };
};
const CONTROL_O: Key = { key: 'o', code: 'KeyO', keyCode: 79, modifiers: 2 };
const altDigit = (digit: string): Key => ({
  key: digit,
  code: `Numpad${digit}`,
  keyCode: 96 + Number(digit),
  modifiers: 1,
});

/**
 * Keys as a scanner sends them: one after the other without waiting, so that a busy machine cannot slow them to
 * a person's pace.
 */
async function send(keys: readonly Key[]): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const events = keys.flatMap(({ keyCode, text, ...key }) => [
    {
      type: text === undefined ? 'rawKeyDown' : 'keyDown',
      windowsVirtualKeyCode: keyCode,
      ...key,
      ...(text === undefined ? {} : { text }),
    } as const,
    { type: 'keyUp', windowsVirtualKeyCode: keyCode, ...key } as const,
  ]);
  await Promise.all(events.map((event) => session.send('Input.dispatchKeyEvent', event)));
  await session.detach();
}

const burst = (text: string, end = 'Enter') => send((end === '' ? [...text] : [...text, end]).map(keyOf));

describe('a wedge scanner', () => {
  beforeAll(() => open(), 30_000);
  afterAll(() => browser.close());
  beforeEach(async () => {
    await page.reload();
    await page.waitForFunction(() => 'seen' in window);
  });

  test('is heard with nothing in focus', async () => {
    await burst('P7K4292W');
    expect((await seen()).scans).toEqual([{ text: 'P7K4292W', source: 'wedge', symbol: null }]);
  });

  test('leaves a field with the focus as it was, its caret too', async () => {
    await page.locator('#note').fill('worn heel');
    await page.locator('#note').evaluate((field: HTMLInputElement) => field.setSelectionRange(4, 4));
    await page.waitForTimeout(200);
    await burst('P7K4292W', 'Tab');
    expect(await contentOf('#note')).toBe('worn heel');
    expect(await page.locator('#note').evaluate((field: HTMLInputElement) => field.selectionStart)).toBe(4);
    expect(await page.evaluate('document.activeElement.id')).toBe('note');
    expect((await seen()).scans).toHaveLength(1);
    expect((await seen()).inputs.at(-1)).toBe('worn heel');
  });

  test('leaves a number field and a list as they were', async () => {
    await page.locator('#count').fill('12');
    await page.waitForTimeout(200);
    await burst('2222P7K4');
    expect(await contentOf('#count')).toBe('12');
    await page.locator('#pick').focus();
    await burst('P7K4292W');
    expect(await contentOf('#pick')).toBe('one');
  });

  test('presses no button, also with two end keys or a text too short', async () => {
    await page.locator('#press').focus();
    await send([...'P7K4292W', 'Enter', 'Enter'].map(keyOf));
    await page.waitForTimeout(300);
    await burst('P7K');
    expect(await seen()).toMatchObject({ presses: 0, troubles: [{ kind: 'dropped', why: 'too-short' }] });
    await page.waitForTimeout(300);
    await page.keyboard.press('Enter');
    expect((await seen()).presses).toBe(1);
  });

  test('is dropped with what it typed when it sends control characters or Alt codes', async () => {
    await page.locator('#note').focus();
    await send([...[...'P7K4'].map(keyOf), CONTROL_O, ...[...'92W', 'Enter'].map(keyOf)]);
    await page.waitForTimeout(300);
    await send([...[...'P7'].map(keyOf), ...[...'0181'].map(altDigit), keyOf('Enter')]);
    expect(await contentOf('#note')).toBe('');
    expect(await seen()).toMatchObject({
      scans: [],
      troubles: [
        { kind: 'dropped', why: 'control-keys' },
        { kind: 'dropped', why: 'alt-codes' },
      ],
    });
  });

  test('that sends no end key is told of, and types nothing', async () => {
    await page.locator('#note').focus();
    await burst('P7K4292W', '');
    await page.waitForTimeout(300);
    expect(await contentOf('#note')).toBe('');
    expect(await seen()).toMatchObject({ scans: [], troubles: [{ kind: 'dropped', why: 'no-end-key' }] });
  });

  test('typing stays typing: at 120 words a minute, and in a quick roll of keys', async () => {
    await page.locator('#note').focus();
    await page.keyboard.type('stitched', { delay: 100 });
    await page.waitForTimeout(200);
    await page.keyboard.type(' welt', { delay: 5 });
    await page.waitForTimeout(200);
    await page.keyboard.press('Enter');
    expect(await contentOf('#note')).toBe('stitched welt');
    expect(await seen()).toMatchObject({ scans: [], troubles: [] });
  });

  test('pasted text is a scan outside of fields only', async () => {
    const paste = (id: string) =>
      page.locator(id).evaluate((element) => {
        const clipboardData = new DataTransfer();
        clipboardData.setData('text/plain', ' P7K4292W ');
        (element as HTMLElement).focus();
        element.dispatchEvent(
          new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }),
        );
      });
    await paste('#note');
    await paste('#press');
    expect((await seen()).scans).toEqual([{ text: 'P7K4292W', source: 'typed', symbol: null }]);
  });
});

describe('the camera', () => {
  let film: string;
  beforeAll(async () => {
    film = join(folder, 'bench.y4m');
    const pictures = await Promise.all([
      drawSymbol({ text: 'P7K4292W', symbol: 'qr', scale: 8 }),
      drawSymbol({ text: 'FOREIGN-1', symbol: 'data-matrix', scale: 10 }),
    ]);
    await cameraFilm(pictures, film, { secondsEach: 1.5, blankSeconds: 2 });
  }, 60_000);
  const withFilm = () =>
    open([
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
      `--use-file-for-fake-video-capture=${film}`,
    ]);
  afterEach(async () => {
    withoutWasm = false;
    await browser.close();
  });

  const scanned = (text: string) =>
    page.waitForFunction(
      (wanted) => (window as unknown as { seen: Seen }).seen.scans.some((scan) => scan.text === wanted),
      text,
      { timeout: 15_000 },
    );

  test('reads in the worker by WebAssembly, once a showing, asks no foreign server and lets the camera go', async () => {
    await withFilm();
    await page.evaluate('window.startCamera()');
    await scanned('P7K4292W');
    await scanned('FOREIGN-1');
    const { scans, decoders, states, troubles } = await seen();
    expect(decoders).toEqual(['zxing-wasm']);
    expect(states).toEqual([{ kind: 'starting' }, { kind: 'live', torch: 'absent' }]);
    expect(
      scans
        .slice(0, 2)
        .map(({ symbol }) => symbol)
        .sort(),
    ).toEqual(['data-matrix', 'qr']);
    expect(troubles).toEqual([]);
    expect(foreign).toEqual([]);
    const live = await page.evaluate(`(() => {
      const [track] = document.querySelector('#video').srcObject.getTracks();
      window.camera.stop();
      return { after: track.readyState, source: document.querySelector('#video').srcObject };
    })()`);
    expect(live).toEqual({ after: 'ended', source: null });
    expect((await seen()).states.at(-1)).toEqual({ kind: 'off', why: 'stopped' });
  }, 60_000);

  test('reads in the worker by script where the .wasm does not come', async () => {
    withoutWasm = true;
    await withFilm();
    await page.evaluate('window.startCamera()');
    await scanned('P7K4292W');
    expect((await seen()).decoders).toEqual(['zxing-js']);
    expect(foreign).toEqual([]);
  }, 60_000);

  test('reads on the page where there are no workers', async () => {
    await withFilm();
    await page.addInitScript('delete window.OffscreenCanvas');
    await page.reload();
    await page.waitForFunction(() => 'seen' in window);
    await page.evaluate('window.startCamera()');
    await scanned('P7K4292W');
    expect((await seen()).decoders).toEqual(['zxing-browser']);
  }, 60_000);

  test('lets every stream go that it ever asked for, also when starts overtake each other', async () => {
    await withFilm();
    const states = await page.evaluate(`(async () => {
      const devices = navigator.mediaDevices;
      const ask = devices.getUserMedia.bind(devices);
      const tracks = [];
      devices.getUserMedia = async (wish) => {
        const stream = await ask(wish);
        tracks.push(...stream.getTracks());
        return stream;
      };
      window.startCamera();
      const rest = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
      for (let cycle = 0; cycle < 40; cycle += 1) {
        window.camera.restart();
        if (cycle % 4 === 0) await rest(50);
        if (cycle % 3 === 0) window.camera.stop();
      }
      window.camera.restart();
      await rest(1500);
      const live = tracks.filter((track) => track.readyState === 'live').length;
      window.scanner.stop();
      await rest(500);
      return { asked: tracks.length > 10, live, left: tracks.filter((track) => track.readyState === 'live').length };
    })()`);
    expect(states).toEqual({ asked: true, live: 1, left: 0 });
  }, 60_000);

  test('says so where there is no camera', async () => {
    await open();
    await page.evaluate('window.startCamera()');
    await page.waitForFunction(() => (window as unknown as { seen: Seen }).seen.states.length > 1);
    expect((await seen()).states.at(-1)).toEqual({ kind: 'none', why: 'no-camera' });
  }, 60_000);

  test('says so where the camera is refused', async () => {
    await open(['--use-fake-device-for-media-stream', '--deny-permission-prompts']);
    await page.evaluate('window.startCamera()');
    await page.waitForFunction(() => (window as unknown as { seen: Seen }).seen.states.length > 1);
    expect((await seen()).states.at(-1)).toEqual({ kind: 'refused' });
  }, 60_000);
});

/**
 * Preparing photographs in a real Chromium, built as it is shipped and served under a policy like the server's. The
 * pictures are written by ImageMagick and looked at with it again: nothing of ours says that the result is right.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtemp, readFile, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright';
import { build } from 'vite';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Prepared } from '../../src/tablet/photos/prepare.ts';
import { ARGS, EXECUTABLE } from '../support/chromium.ts';

const POLICY = "default-src 'none'; script-src 'self'; img-src 'self' data: blob:; connect-src 'self'";
const HTML =
  '<!doctype html><title>photographs</title><input id="pick" type="file"><script type="module" src="/page.js"></script>';
const PAGE = `
import { preparePhoto } from '${join(process.cwd(), 'src/tablet/photos/prepare.ts')}';
window.prepare = async () => {
  const [file] = document.querySelector('#pick').files;
  const { blob, ...told } = await preparePhoto(file);
  const body = blob === undefined ? null : Array.from(new Uint8Array(await blob.arrayBuffer()));
  return { ...told, body, blobType: blob?.type };
};
`;

let folder: string;
let server: Server;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'photographs-'));
  await build({
    root: folder,
    configFile: false,
    logLevel: 'error',
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
  const script = await readFile(join(folder, 'dist', 'page.js'));
  server = createServer((request, response) => {
    const isScript = request.url === '/page.js';
    response.writeHead(200, {
      'content-type': isScript ? 'text/javascript' : 'text/html; charset=utf-8',
      'content-security-policy': POLICY,
    });
    response.end(isScript ? script : HTML);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  browser = await chromium.launch({ executablePath: EXECUTABLE, args: ARGS });
  page = await browser.newPage();
  await page.goto(`http://localhost:${(server.address() as AddressInfo).port}/`);
  await page.waitForFunction(() => 'prepare' in window);
}, 60_000);

afterAll(async () => {
  await browser?.close();
  server?.close();
  await rm(folder, { recursive: true });
});

interface Outcome {
  readonly is: Prepared['is'];
  readonly photo?: string;
  readonly type?: string;
  readonly blobType?: string;
  readonly bytes?: number;
  readonly body: readonly number[] | null;
}

async function prepare(file: string): Promise<Outcome> {
  await page.setInputFiles('#pick', file);
  return page.evaluate<Outcome>('window.prepare()');
}

const magick = (...told: readonly string[]) => execFileSync('convert', told);
const at = (name: string) => join(folder, name);

/** What ImageMagick says about the prepared photograph. */
async function look(outcome: Outcome, format: string): Promise<string> {
  await writeFile(at('prepared.jpg'), Uint8Array.from(outcome.body ?? []));
  return execFileSync('identify', ['-format', format, at('prepared.jpg')]).toString();
}

/** Colours of corners and middle, each as the nearest of a few names. */
async function colourAt(outcome: Outcome, x: number, y: number): Promise<string> {
  await writeFile(at('prepared.jpg'), Uint8Array.from(outcome.body ?? []));
  const [red = 0, green = 0, blue = 0] = magick(
    at('prepared.jpg'),
    '-crop',
    `1x1+${x}+${y}`,
    '-depth',
    '8',
    'rgb:-',
  );
  if (red > 200 && green > 200 && blue > 200) return 'white';
  if (red > 150 && green < 100 && blue < 100) return 'red';
  if (blue > 150 && red < 100) return 'blue';
  return `${red} ${green} ${blue}`;
}

/** A real JPEG of noise and colour, above 40 MB, as a large camera makes it. */
function hugePhotograph(file: string): void {
  // Noise drawn once and laid in tiles: drawing 30 million random pixels would take a minute.
  magick(
    '-size',
    '1000x1000',
    'plasma:tomato-navy',
    '-attenuate',
    '0.9',
    '+noise',
    'Gaussian',
    at('tile.png'),
  );
  magick('-size', '7000x5000', `tile:${at('tile.png')}`, '-quality', '98', file);
}

test('a photograph of more than 40 MB becomes one of at most 1600 pixels and 400 kB', async () => {
  hugePhotograph(at('huge.jpg'));
  const { size } = await stat(at('huge.jpg'));
  expect(size).toBeGreaterThan(40_000_000);
  expect(size).toBeLessThan(60 * 1024 * 1024);
  const outcome = await prepare(at('huge.jpg'));
  expect(outcome).toMatchObject({ is: 'photo', type: 'image/jpeg', blobType: 'image/jpeg' });
  expect(outcome.bytes).toBe(outcome.body?.length);
  expect(outcome.bytes).toBeLessThanOrEqual(400 * 1024);
  expect(outcome.bytes).toBeGreaterThan(50_000);
  const hash = createHash('sha256').update(Uint8Array.from(outcome.body ?? []));
  expect(outcome.photo).toBe(hash.digest('hex'));
  expect(await look(outcome, '%m %w %h')).toBe('JPEG 1600 1143');
}, 120_000);

test('the picture is the same picture: ImageMagick’s own reduction of it is nearly the same', async () => {
  magick('-size', '3000x2000', 'plasma:tomato-navy', '-quality', '95', at('plain.jpg'));
  const outcome = await prepare(at('plain.jpg'));
  expect(await look(outcome, '%w %h')).toBe('1600 1067');
  magick(at('plain.jpg'), '-resize', '1600x1067!', at('reduced.png'));
  // Peak signal to noise, in decibels: above 35 an eye sees no difference (common practice, no source).
  let psnr = '';
  try {
    execFileSync('compare', ['-metric', 'PSNR', at('reduced.png'), at('prepared.jpg'), 'null:'], {
      stdio: 'pipe',
    });
  } catch (differs) {
    psnr = String((differs as { stderr: Buffer }).stderr);
  }
  expect(Number.parseFloat(psnr)).toBeGreaterThan(35);
});

test('a picture that lay on its side is upright, whatever its EXIF says, and nothing of the EXIF is left', async () => {
  // Left half red, right half blue, and the word that it is to be turned a quarter clockwise (Exif 2.32, orientation 6).
  magick('-size', '400x400', 'xc:red', '(', '-size', '400x400', 'xc:blue', ')', '+append', at('flat.jpg'));
  const jpeg = await readFile(at('flat.jpg'));
  const secrets = 'Ines Okafor 51.2345N camera 0042';
  await writeFile(at('turned.jpg'), withExif(jpeg, secrets));
  expect(
    execFileSync('identify', ['-format', '%[EXIF:Orientation] %[EXIF:Artist]', at('turned.jpg')]).toString(),
  ).toBe(`6 ${secrets}`);
  const outcome = await prepare(at('turned.jpg'));
  expect(await look(outcome, '%w %h %[EXIF:*]')).toBe('400 800 ');
  expect([await colourAt(outcome, 200, 100), await colourAt(outcome, 200, 700)]).toEqual(['red', 'blue']);
  const body = Buffer.from(outcome.body ?? []);
  for (const trace of ['Exif', secrets, 'Okafor', 'http://ns.adobe.com'])
    expect(body.includes(trace)).toBe(false);
});

/** The JPEG with an APP1 segment (Exif 2.32) after its SOI: orientation 6 and an artist. */
function withExif(jpeg: Buffer, artist: string): Buffer {
  const name = Buffer.from(`${artist}\0`, 'latin1');
  const tiff = Buffer.alloc(38);
  tiff.write('MM\0*', 0, 'latin1');
  tiff.writeUInt32BE(8, 4);
  tiff.writeUInt16BE(2, 8);
  const entry = (from: number, tag: number, type: number, count: number) => {
    tiff.writeUInt16BE(tag, from);
    tiff.writeUInt16BE(type, from + 2);
    tiff.writeUInt32BE(count, from + 4);
  };
  entry(10, 0x0112, 3, 1);
  tiff.writeUInt16BE(6, 18);
  entry(22, 0x013b, 2, name.length);
  tiff.writeUInt32BE(tiff.length, 30);
  const payload = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), tiff, name]);
  const length = Buffer.alloc(2);
  length.writeUInt16BE(payload.length + 2);
  return Buffer.concat([jpeg.subarray(0, 2), Buffer.from([0xff, 0xe1]), length, payload, jpeg.subarray(2)]);
}

test('a tall picture keeps its shape, and a small one is not blown up', async () => {
  magick('-size', '1000x4000', 'plasma:tomato-navy', at('tall.png'));
  expect(await look(await prepare(at('tall.png')), '%m %w %h')).toBe('JPEG 400 1600');
  magick('-size', '37x21', 'plasma:tomato-navy', at('small.webp'));
  expect(await look(await prepare(at('small.webp')), '%m %w %h')).toBe('JPEG 37 21');
});

test('where a picture is clear it is white, as on paper', async () => {
  magick('-size', '200x200', 'xc:none', '-fill', 'red', '-draw', 'rectangle 0,0 99,199', at('clear.png'));
  const outcome = await prepare(at('clear.png'));
  expect([await colourAt(outcome, 50, 100), await colourAt(outcome, 150, 100)]).toEqual(['red', 'white']);
});

test('a picture of pure noise is made smaller until it fits', async () => {
  magick('-size', '1600x1600', 'xc:gray', '+noise', 'Random', at('noise.png'));
  const outcome = await prepare(at('noise.png'));
  expect(outcome.bytes).toBeLessThanOrEqual(400 * 1024);
  expect(Number(await look(outcome, '%w'))).toBeLessThan(1600);
});

test.each([
  ['a text that is called a photograph', 'letter.jpg', 'Dear Sir, the welt has come away again.'],
  ['a page that is called a photograph', 'page.png', '<svg xmlns="http://www.w3.org/2000/svg"></svg>'],
  ['nothing at all', 'empty.jpg', ''],
] as const)('%s is no picture', async (_, name, text) => {
  await writeFile(at(name), text);
  expect(await prepare(at(name))).toEqual({ is: 'not-a-picture', body: null });
});

test.each([100_000, 4_000, 300, 20])('a photograph cut off after %i bytes is unreadable', async (bytes) => {
  magick('-size', '1200x900', 'plasma:tomato-navy', '-quality', '92', at('cut.jpg'));
  expect((await stat(at('cut.jpg'))).size).toBeGreaterThan(120_000);
  await truncate(at('cut.jpg'), bytes);
  expect(await prepare(at('cut.jpg'))).toEqual({ is: 'unreadable', body: null });
});

test('rubbish that begins as a photograph does is unreadable', async () => {
  await writeFile(
    at('rubbish.jpg'),
    Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.alloc(9_000, 7)]),
  );
  expect(await prepare(at('rubbish.jpg'))).toEqual({ is: 'unreadable', body: null });
});

test('what is above 60 MB is too large, and is not even looked at', async () => {
  await writeFile(at('film.jpg'), '');
  await truncate(at('film.jpg'), 60 * 1024 * 1024 + 1);
  expect(await prepare(at('film.jpg'))).toEqual({ is: 'too-large', body: null });
  await truncate(at('film.jpg'), 60 * 1024 * 1024);
  expect(await prepare(at('film.jpg'))).toEqual({ is: 'not-a-picture', body: null });
});

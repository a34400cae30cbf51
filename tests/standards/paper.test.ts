/**
 * Printed paper against what stands outside the project: the published sizes of the symbols, and decoders
 * that know nothing of the encoder. Pages are drawn by a browser at the printer's own resolution.
 */
import { execFileSync } from 'node:child_process';
import { accessSync, constants, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { type Browser, chromium, type Locator, type Page } from 'playwright';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { ALPHABET, issueTicket, issueToken } from '../../src/domain/code.ts';
import { ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';
import { code128, qr } from '../../src/paper/symbol.ts';
import { type PaperPage, paperPage, paperPolicy } from '../../src/server/paper/sheet.ts';

const MM_PER_INCH = 25.4;
const CSS_PX_PER_INCH = 96;
/** A window that shows a sheet of A4 whole. */
const A4_PX = { width: 794, height: 1123 };

function onPath(names: readonly string[]): string | undefined {
  const folders = (process.env.PATH ?? '').split(delimiter);
  return names
    .flatMap((name) => folders.map((folder) => join(folder, name)))
    .find((path) => {
      try {
        accessSync(path, constants.X_OK);
        return true;
      } catch {
        return false; // not there, or not to be run
      }
    });
}

const chromiumPath = process.env.CHROMIUM ?? onPath(['chromium', 'chromium-browser', 'google-chrome']);
const zbarimg = onPath(['zbarimg']);
/** On a developer's machine without them these are skipped and say so; in CI they must run. */
const mustRun = process.env.CI !== undefined;

const tickets = Array.from({ length: 60 }, (_, at) => issueTicket((at * 97) % 676, at * 7001).pair);

function tokenOf(kind: 'badge' | 'bench', start: number): string {
  for (let seed = start; ; seed += 1) {
    const token = issueToken(
      kind,
      Uint8Array.from({ length: 64 }, (_, at) => (seed * 31 + at * 57) % 234),
    );
    if (token !== null) return token;
  }
}
/** A code of almost nothing but the widest letter. */
function widest(kind: 'badge' | 'bench'): string {
  const letter = ALPHABET.indexOf('W');
  const length = kind === 'badge' ? 18 : 10;
  for (let last = 0; last < ALPHABET.length; last += 1) {
    const token = issueToken(
      kind,
      Uint8Array.from({ length }, (_, at) => (at === length - 1 ? last : letter)),
    );
    if (token !== null) return token;
  }
  throw new Error('no such code');
}
const badges = [tokenOf('badge', 1), tokenOf('badge', 40), tokenOf('badge', 77)];
const benches = [tokenOf('bench', 1), tokenOf('bench', 40)];

const PAPER: PaperPage = {
  title: 'Aldermoor Bench',
  tickets: tickets.slice(0, 10).map((pair, at) => ({
    pair,
    ...(at % 2 === 0
      ? {
          job: 'Full rebuild',
          last: '88',
          size: '9½',
          fitting: 'F',
          promised: '2026-12-10',
          withThePair: ['trees'],
        }
      : {}),
  })),
  badges: badges.map((token, at) => ({
    token,
    name: ['Maud Tilney', 'Ida Ström', 'Oswin Park'][at] ?? 'Ann',
  })),
  benches: benches.map((token) => ({
    token,
    name: 'Welt bench',
    stages: ['Welt sewing', 'Inseam trimming'],
    validUntil: '2026-12-10T14:40:00Z',
    zone: 'Europe/London',
  })),
};

const LABEL_FIT = { dpi: 203, roomMm: 86, leastMm: 0.375, wishMm: 0.5 };

describe('Code 128 (ISO/IEC 15417)', () => {
  // 11 modules for each symbol character, start and check counted, and 13 for the stop.
  const formula = (characters: number) => 11 * (characters + 2) + 13;

  test.each([
    ['8 characters in set B', 'PAKEJHMN', 8, 123],
    ['8 digits, paired in set C', '12345678', 4, 79],
    ['12 characters in set B', 'WAKEJHMNPRTV', 12, 167],
    ['20 characters in set B', 'HAKEJHMNPRTVWXYAKEJH', 20, 255],
  ])('%s', (_, text, characters, modules) => {
    const symbol = code128(text, text, { dpi: 203, roomMm: 200, leastMm: 0.375, wishMm: 0.5 });
    expect(formula(characters)).toBe(modules);
    expect(symbol.modules).toBe(modules + 2 * 10);
  });

  test('a ticket is whole symbol characters, never more than set B alone would take', () => {
    for (const pair of tickets) {
      const bars = code128(pair, pair, LABEL_FIT).modules - 20;
      expect((bars - 13) % 11).toBe(0);
      expect(bars).toBeLessThanOrEqual(formula(pair.length));
    }
  });

  // Ticket sizes: modules with quiet zone × X, at 3 and 4 dots of a printer with 8 dots to the millimetre.
  test.each([
    ['PAKEJHMN', 0.375, 53.6],
    ['PAKEJHMN', 0.5, 71.5],
    ['12345678', 0.375, 37.1],
    ['12345678', 0.5, 49.5],
  ])('%s at X = %f mm is %f mm wide', (text, xMm, widthMm) => {
    const symbol = code128(text, text, { dpi: 203.2, roomMm: 100, leastMm: xMm, wishMm: xMm });
    expect(symbol.moduleMm).toBeCloseTo(xMm, 6);
    expect(symbol.widthMm).toBeCloseTo(widthMm, 1);
  });

  test('a badge does not fit its card at 0.33 mm and does at 0.25 mm, which is why it stands on the back', () => {
    const token = 'HAKEJHMNPRTVWXYAKEJH';
    const card = { dpi: 203, roomMm: 85.6 };
    expect(() => code128(token, token, { ...card, leastMm: 0.33, wishMm: 0.33 })).toThrow(RangeError);
    expect(code128(token, token, { ...card, leastMm: 0.25, wishMm: 0.25 }).widthMm).toBeLessThan(85.6);
  });
});

describe('QR (ISO/IEC 18004)', () => {
  const FIT = { dpi: 203, roomMm: 60, leastMm: 0.5, wishMm: 0.5 };

  // Version 1 holds 16 alphanumeric characters at level Q; version 2 holds 29. 17 + 4 v modules a side.
  test.each([
    [8, 21],
    [16, 21],
    [17, 25],
    [20, 25],
    [29, 25],
    [30, 29],
  ])('%i characters are %i modules a side', (length, side) => {
    const symbol = qr('P'.repeat(length), '', FIT);
    expect(symbol.modules).toBe(side + 2 * 4);
  });

  test('small letters are not alphanumeric: 16 of them no longer fit version 1', () => {
    expect(qr('p'.repeat(16), '', FIT).modules).toBeGreaterThan(21 + 8);
  });

  test.each([
    [0.375, 10.9],
    [0.5, 14.5],
  ])('a ticket at X = %f mm is %f mm a side', (xMm, sideMm) => {
    const symbol = qr('P7K4292M', '', { dpi: 203.2, roomMm: 60, leastMm: xMm, wishMm: xMm });
    expect(symbol.widthMm).toBeCloseTo(sideMm, 1);
  });
});

describe('a module is a whole number of dots', () => {
  test.each([150, 203, 203.2, 300, 600, 1200])('at %f dpi, and reaches the least width', (dpi) => {
    for (const leastMm of [0.25, 0.375, 0.5]) {
      const { moduleMm, dotsPerModule } = qr('P7K4292M', '', { dpi, roomMm: 60, leastMm, wishMm: leastMm });
      expect((moduleMm * dpi) / MM_PER_INCH).toBeCloseTo(dotsPerModule, 9);
      expect(Number.isInteger(dotsPerModule)).toBe(true);
      expect(moduleMm).toBeGreaterThan(leastMm - 0.002);
    }
  });
});

describe.skipIf(chromiumPath === undefined && !mustRun)(
  'paper as a browser prints it (needs Chromium)',
  () => {
    const folder = mkdtempSync(join(tmpdir(), 'paper-'));
    let browser: Browser;

    beforeAll(async () => {
      const wasm = createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm');
      prepareZXingModule({ overrides: { wasmBinary: readFileSync(wasm).buffer as ArrayBuffer } });
      const args = [
        '--no-sandbox',
        '--disable-background-networking',
        '--disable-component-update',
        '--no-first-run',
      ];
      browser = await chromium.launch({ ...(chromiumPath ? { executablePath: chromiumPath } : {}), args });
    }, 60_000);

    afterAll(async () => {
      await browser?.close();
      rmSync(folder, { recursive: true, force: true });
    });

    /** The page open at `dpi`: a device pixel is a printer's dot. Under the policy that the server sends. */
    async function opened(paper: PaperPage, dpi: number): Promise<Page> {
      const html = paperPage(paper);
      const page = await browser.newPage({ deviceScaleFactor: dpi / CSS_PX_PER_INCH, viewport: A4_PX });
      await page.route('http://paper.test/', (route) =>
        route.fulfill({
          contentType: 'text/html; charset=utf-8',
          headers: { 'content-security-policy': paperPolicy(html) },
          body: html,
        }),
      );
      await page.emulateMedia({ media: 'print' });
      await page.goto('http://paper.test/');
      await page.evaluate(() => document.fonts.ready);
      return page;
    }

    /** A part of a picture. */
    interface Part {
      readonly width: number;
      readonly height: number;
      readonly inked: (x: number, y: number) => boolean;
    }

    /** Where a symbol lies, in whole dots, with two dots around it. */
    interface Cut {
      readonly left: number;
      readonly top: number;
      readonly width: number;
      readonly height: number;
    }

    /** Parts of a picture, read back in the browser, which has a decoder for its own pictures. */
    async function parts(picture: Buffer, cuts: readonly Cut[]): Promise<readonly Part[]> {
      const page = await browser.newPage();
      const texts = await page.evaluate(
        async ([data, rectangles]) => {
          const image = new Image();
          image.src = `data:image/png;base64,${data}`;
          await image.decode();
          const context = new OffscreenCanvas(image.width, image.height).getContext('2d');
          if (context === null) throw new Error('no canvas');
          context.drawImage(image, 0, 0);
          return rectangles.map(({ left, top, width, height }) => {
            const { data: rgba } = context.getImageData(left, top, width, height);
            // As text, which crosses from the browser far faster than a list of numbers.
            return Array.from({ length: width * height }, (_, at) =>
              (rgba[at * 4] ?? 0) < 128 ? '#' : ' ',
            ).join('');
          });
        },
        [picture.toString('base64'), cuts] as const,
      );
      await page.close();
      return cuts.map(({ width, height }, index) => ({
        width,
        height,
        inked: (x, y) => texts[index]?.charAt(y * width + x) === '#',
      }));
    }

    /** Lengths of black and white runs along a row, beginning with white. */
    function runs(row: readonly boolean[]): number[] {
      const lengths = [0];
      let dark = false;
      for (const inked of row) {
        if (inked !== dark) {
          dark = !dark;
          lengths.push(0);
        }
        lengths.push((lengths.pop() ?? 0) + 1);
      }
      return lengths;
    }

    const LABELS = [
      { selector: '.ticket', codes: tickets.slice(0, 10) },
      { selector: '.badge', codes: badges },
      { selector: '.bench', codes: benches },
    ];

    describe.each([203, 300])('at %i dpi', (dpi) => {
      test('every label is read by two decoders, from its QR code and from its Code 128', async () => {
        const page = await opened({ ...PAPER, layout: { dpi } }, dpi);
        for (const { selector, codes } of LABELS) {
          const labels = await page.locator(selector).all();
          expect(labels).toHaveLength(codes.length);
          for (const [index, label] of labels.entries()) {
            const picture = await label.screenshot();
            const code = codes[index];
            const read = await readBarcodes(new Uint8Array(picture), {
              formats: ['QRCode', 'Code128'],
              maxNumberOfSymbols: 9,
            });
            expect(read.map(({ format, text }) => `${format} ${text}`).sort()).toEqual([
              `Code128 ${code}`,
              `QRCode ${code}`,
            ]);
            const square = read.find(({ format }) => format === 'QRCode');
            expect(['Q', 'H']).toContain(square?.ecLevel);
            expect(square?.version).toBe(selector === '.badge' ? '2' : '1');
            if (zbarimg !== undefined || mustRun)
              expect(readByZbar(picture)).toEqual([`CODE-128:${code}`, `QR-Code:${code}`]);
          }
        }
        await page.close();
      }, 120_000);

      function readByZbar(picture: Buffer): readonly string[] {
        const file = join(folder, 'label.png');
        writeFileSync(file, picture);
        const only = ['-S', 'disable', '-S', 'qrcode.enable', '-S', 'code128.enable'];
        const said = execFileSync(zbarimg ?? 'zbarimg', ['-q', '--nodbus', ...only, file], {
          encoding: 'utf8',
        });
        return said.trim().split('\n').sort();
      }

      test.each([
        ['tickets', { tickets: PAPER.tickets?.slice(0, 8) }, 8],
        ['badges', { badges: PAPER.badges }, 3],
        ['set-up cards', { benches: PAPER.benches }, 2],
      ])(
        'on a sheet of %s bars are whole dots, and the quiet zones 10 and 4 modules of white',
        async (_, papers, count) => {
          const page = await opened({ title: 'Aldermoor Bench', ...papers, layout: { dpi } }, dpi);
          const symbols = await page.locator('.symbol svg').all();
          expect(symbols).toHaveLength(2 * count);
          const titles = await Promise.all(symbols.map((symbol) => symbol.locator('title').textContent()));
          const cuts = await Promise.all(symbols.map((symbol) => cutAround(symbol, dpi)));
          const drawn = await parts(await page.screenshot(), cuts);
          for (const [index, symbol] of drawn.entries()) {
            if (titles[index]?.startsWith('QR')) expectSquare(symbol, dpi);
            else expectBars(symbol, dpi);
          }
          await page.close();
        },
        120_000,
      );
    });

    test.each([203, 300, 600])(
      'wherever on the page a symbol stands, its bars are whole dots (%i dpi)',
      async (dpi) => {
        const fit = { dpi, roomMm: 86, leastMm: 0.375, wishMm: 0.5 };
        const { svg, dotsPerModule } = code128('P7K4292M', '', fit);
        // A strip of each, one CSS pixel further on, through every fraction of a dot that there is.
        const strips = Array.from(
          { length: CSS_PX_PER_INCH },
          (_, at) => `<div style="padding-left:${at}px">${svg}</div>`,
        );
        const page = await browser.newPage({ deviceScaleFactor: dpi / CSS_PX_PER_INCH, viewport: A4_PX });
        await page.setContent(
          `<style>body{margin:0}div{height:8px;overflow:hidden}</style>${strips.join('')}`,
        );
        const toDots = dpi / CSS_PX_PER_INCH;
        const width = Math.ceil(400 * toDots);
        const cuts = strips.map((_, at) => ({
          left: 0,
          top: Math.round((8 * at + 4) * toDots),
          width,
          height: 1,
        }));
        const rows = await parts(await page.screenshot(), cuts);
        for (const row of rows) {
          const lengths = runs(Array.from({ length: width }, (_, x) => row.inked(x, 0))).slice(1, -1);
          // Three bars and three spaces a symbol character, and the stop’s last bar.
          expect(lengths.length % 6).toBe(1);
          expect(lengths.length).toBeGreaterThan(6 * 6);
          expect(lengths.filter((length) => length % dotsPerModule !== 0)).toEqual([]);
        }
        await page.close();
      },
      60_000,
    );

    async function cutAround(symbol: Locator, dpi: number): Promise<Cut> {
      const box = await symbol.boundingBox();
      if (box === null) throw new Error('the symbol is not drawn');
      const toDots = dpi / CSS_PX_PER_INCH;
      const left = Math.max(0, Math.floor(box.x * toDots) - 2);
      const top = Math.max(0, Math.floor(box.y * toDots) - 2);
      return {
        left,
        top,
        width: Math.ceil((box.x + box.width) * toDots) + 2 - left,
        height: Math.ceil((box.y + box.height) * toDots) + 2 - top,
      };
    }

    function expectBars(drawn: Part, dpi: number): void {
      const middle = Math.floor(drawn.height / 2);
      const row = Array.from({ length: drawn.width }, (_, x) => drawn.inked(x, middle));
      const lengths = runs(row);
      const bars = lengths.slice(1, -1);
      const dots = Math.min(...bars);
      // Start and stop both have two modules of black at their outer edge.
      expect([bars[0], bars.at(-1)]).toEqual([2 * dots, 2 * dots]);
      expect(bars.filter((length) => length % dots !== 0 || length > 4 * dots)).toEqual([]);
      const modules = bars.reduce((sum, length) => sum + length / dots, 0);
      expect((modules - 13) % 11).toBe(0);
      expect(lengths[0]).toBeGreaterThanOrEqual(10 * dots);
      expect(lengths.at(-1)).toBeGreaterThanOrEqual(10 * dots);
      const column = Array.from({ length: drawn.height }, (_, y) => drawn.inked(lengths[0] ?? 0, y));
      const dotMm = MM_PER_INCH / dpi;
      const heightMm = (runs(column)[1] ?? 0) * dotMm;
      expect(heightMm).toBeGreaterThanOrEqual(Math.max(15, 0.25 * modules * dots * dotMm));
    }

    function expectSquare(drawn: Part, dpi: number): void {
      const columns = [...Array(drawn.width).keys()];
      const rows = [...Array(drawn.height).keys()];
      const lines = [
        ...rows.map((y) => columns.map((x) => drawn.inked(x, y))),
        ...columns.map((x) => rows.map((y) => drawn.inked(x, y))),
      ];
      const left = columns.findIndex((x) => rows.some((y) => drawn.inked(x, y)));
      const right = drawn.width - 1 - columns.findLastIndex((x) => rows.some((y) => drawn.inked(x, y)));
      const top = rows.findIndex((y) => columns.some((x) => drawn.inked(x, y)));
      const bottom = drawn.height - 1 - rows.findLastIndex((y) => columns.some((x) => drawn.inked(x, y)));
      // The finder pattern's upper edge is seven modules of black.
      const dots = (runs(columns.map((x) => drawn.inked(x, top)))[1] ?? 0) / 7;
      const uneven = lines.flatMap((line) => runs(line).slice(1, -1)).filter((length) => length % dots !== 0);
      expect(uneven).toEqual([]);
      for (const side of [left, right, top, bottom]) expect(side).toBeGreaterThanOrEqual(4 * dots);
      expect((dots * MM_PER_INCH) / dpi).toBeGreaterThan(0.5 - 0.002);
    }

    test('a badge’s panels are ID-1 cards of 85.6 × 54 mm (ISO/IEC 7810)', async () => {
      const page = await opened(PAPER, 96);
      for (const card of await page.locator('.card').all()) {
        const box = await card.boundingBox();
        expect(((box?.width ?? 0) / CSS_PX_PER_INCH) * MM_PER_INCH).toBeCloseTo(85.6, 1);
        expect(((box?.height ?? 0) / CSS_PX_PER_INCH) * MM_PER_INCH).toBeCloseTo(54, 1);
      }
      await page.close();
    }, 60_000);

    /** Pages of the printed document as width and height in mm. */
    async function printed(paper: PaperPage): Promise<readonly string[]> {
      const page = await opened(paper, 96);
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
      await page.close();
      const mm = (points: string | undefined) => Math.round((Number(points) / 72) * MM_PER_INCH);
      return [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map(
        ([, w, h]) => `${mm(w)} × ${mm(h)}`,
      );
    }

    test('prints on A4 (ISO 216), with no empty page', async () => {
      expect(await printed(PAPER)).toEqual(Array(4).fill('210 × 297'));
    }, 60_000);

    test('prints one label a page on a roll, each page as large as its label', async () => {
      const sizes = await printed({ ...PAPER, layout: { on: 'single', badgeBack: false } });
      expect(sizes).toEqual([
        ...Array(10).fill('100 × 70'),
        ...Array(3).fill('86 × 54'),
        ...Array(2).fill('100 × 70'),
      ]);
    }, 60_000);

    const wide = 'W'.repeat(100);
    const longest: PaperPage = {
      title: wide,
      pattern: ticketPatternSchema.parse('????????'),
      tickets: [
        {
          pair: 'WWWWMMMM',
          job: wide,
          last: wide,
          size: wide,
          fitting: wide,
          promised: '2026-09-30',
          second: true,
        },
        {
          pair: 'MWMWMWMW',
          job: 'Full rebuild, soles and heels, welt patched',
          withThePair: Array(12).fill('flannel bag'),
        },
        { pair: 'WMMWWMMW', job: 'x', withThePair: [wide] },
      ],
      badges: [
        { token: badges[0] ?? '', name: wide, site: wide },
        { token: badges[1] ?? '', name: 'Bartholomew Featherstonehaugh-Wainwright' },
        { token: widest('badge'), name: 'Wilhelmina Mumm' },
      ],
      benches: [
        {
          token: widest('bench'),
          name: wide,
          stages: Array(8).fill('Bottom finishing, welt side'),
          validUntil: '2026-12-10T14:40:00Z',
          zone: 'Europe/London',
        },
      ],
    };

    test.each([
      [100, 70],
      [85, 62],
      [148, 105],
    ])(
      'the longest words stay on a label of %i × %i mm and off its symbols',
      async (widthMm, heightMm) => {
        const page = await opened({ ...longest, layout: { ticketSize: { widthMm, heightMm } } }, 96);
        const strays = await page.evaluate(() => {
          const found: string[] = [];
          for (const label of document.querySelectorAll('.ticket, .card, .bench')) {
            const frame = label.getBoundingClientRect();
            const symbols = [...label.querySelectorAll('.symbol svg')].map((svg) =>
              svg.getBoundingClientRect(),
            );
            for (const symbol of symbols) {
              const within = symbol.left >= frame.left - 0.1 && symbol.right <= frame.right + 0.1;
              if (!within || symbol.top < frame.top - 0.1 || symbol.bottom > frame.bottom + 0.1)
                found.push('a symbol');
            }
            const texts = document.createTreeWalker(label, NodeFilter.SHOW_TEXT);
            for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
              if (node.textContent?.trim() === '' || node.parentElement?.closest('svg')) continue;
              const range = document.createRange();
              range.selectNodeContents(node);
              for (const box of range.getClientRects()) {
                // A line box is taller than its letters: they stand in the middle seven tenths.
                const top = box.top + 0.15 * box.height;
                const bottom = box.bottom - 0.15 * box.height;
                const out =
                  box.left < frame.left ||
                  box.right > frame.right ||
                  top < frame.top ||
                  bottom > frame.bottom;
                const on = symbols.some(
                  (symbol) =>
                    box.left < symbol.right &&
                    box.right > symbol.left &&
                    top < symbol.bottom &&
                    bottom > symbol.top,
                );
                if (out || on) found.push(`${out ? 'off the label' : 'on a symbol'}: ${node.textContent}`);
              }
            }
          }
          return found;
        });
        expect(strays).toEqual([]);
        await page.close();
      },
      60_000,
    );

    test('hostile words are text to a browser: nothing runs, nothing is added', async () => {
      const hostile = `</style></title><script>document.title='run'</script><img src=x onerror="document.title='run'">`;
      const page = await opened(
        {
          title: hostile,
          tickets: [{ pair: tickets[0] ?? '', job: hostile, last: '"><b>', withThePair: [hostile, '<i>'] }],
          badges: [
            { token: badges[0] ?? '', name: "' onload='document.title=1' <svg onload=1>", site: hostile },
          ],
        },
        96,
      );
      const counts = await page.evaluate(() => ({
        foreign: document.querySelectorAll('script, img, i, iframe, b:not(.check), [onload], [onerror]')
          .length,
        styles: document.querySelectorAll('style').length,
        svgs: document.querySelectorAll('svg').length,
        last: document.querySelector('.last dd')?.textContent,
        title: document.title,
      }));
      // Two symbols and the hole on the ticket, two symbols on the badge.
      expect(counts).toEqual({ foreign: 0, styles: 1, svgs: 5, last: '"><b>', title: hostile });
      await page.close();
    }, 60_000);
  },
);

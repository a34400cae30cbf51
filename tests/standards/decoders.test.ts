/**
 * Both decoders against symbols that zint and qrencode drew, and against the arithmetic of Code 128's check
 * character. Sources: ISO/IEC 15417 (Code 128), ISO/IEC 18004 (QR Code), ISO/IEC 16022 (Data Matrix).
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { beforeAll, describe, expect, test, vi } from 'vitest';
import { ZXING_WASM_SHA256 } from 'zxing-wasm/reader';
import { issueTicket } from '../../src/domain/code.ts';
import type { Decoder, Frame, SymbolKind } from '../../src/tablet/scan/decoder.ts';
import { jsDecoder } from '../../src/tablet/scan/zxing-js-decoder.ts';
import { startWasmDecoder } from '../../src/tablet/scan/zxing-wasm-decoder.ts';
import { code128Modules, drawSymbol, frameOf, photograph } from '../support/symbols.ts';

const wasm = readFileSync(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'));

const decoders: Record<'wasm' | 'js', Decoder> = { wasm: jsDecoder, js: jsDecoder };
beforeAll(async () => {
  const bytes = wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength) as ArrayBuffer;
  decoders.wasm = await startWasmDecoder({ bytes });
  expect(decoders.wasm.name).toBe('zxing-wasm');
});

test('the .wasm that is served is the one that its script was made for', () => {
  expect(createHash('sha256').update(wasm).digest('hex')).toBe(ZXING_WASM_SHA256);
});

const TICKETS = [0, 1, 777, 41_000].map((counter) => issueTicket(3, counter).pair as string);
const SYMBOLS: readonly SymbolKind[] = ['qr', 'data-matrix', 'code-128'];

describe.each(['wasm', 'js'] as const)('the %s decoder', (name) => {
  test.each(SYMBOLS)('reads our tickets as zint draws them in %s', async (symbol) => {
    for (const text of TICKETS) {
      const frame = await frameOf(await drawSymbol({ text, symbol, scale: 4 }));
      expect(await decoders[name].decode(frame)).toEqual([{ text, symbol }]);
    }
  });

  test('reads a badge of 20 characters as qrencode draws it', async () => {
    const text = 'H0123456789ACEFHJKMN';
    const frame = await frameOf(await drawSymbol({ text, symbol: 'qr', scale: 4, by: 'qrencode' }));
    expect(await decoders[name].decode(frame)).toEqual([{ text, symbol: 'qr' }]);
  });

  test.each(SYMBOLS)('reads %s in the middle of a camera picture', async (symbol) => {
    const text = 'P7K4292W';
    const frame = await photograph(await drawSymbol({ text, symbol, scale: 6 }));
    expect(await decoders[name].decode(frame)).toContainEqual({ text, symbol });
  });

  test('gives control characters as they are, so that they can be refused', async () => {
    const text = 'P7K4\u00122M';
    const frame = await frameOf(await drawSymbol({ text, symbol: 'code-128', scale: 4 }));
    expect(await decoders[name].decode(frame)).toEqual([{ text, symbol: 'code-128' }]);
  });

  test('finds nothing in noise, on an empty bench and in stripes, and says nothing to the console', async () => {
    const said = (['log', 'warn', 'error'] as const).map((level) => vi.spyOn(console, level));
    for (const frame of [noise(1), noise(2), plain(128), plain(0), stripes()]) {
      expect(await decoders[name].decode(frame)).toEqual([]);
    }
    for (const spy of said) expect(spy).not.toHaveBeenCalled();
    vi.restoreAllMocks();
  });

  test('leaves the frame as it was', async () => {
    const frame = await frameOf(await drawSymbol({ text: 'P7K4292W', symbol: 'qr', scale: 4 }));
    const before = frame.data.slice();
    await decoders[name].decode(frame);
    expect(frame.data).toEqual(before);
  });

  test('refuses a Code 128 whose check character is another one', async () => {
    const right = await code128Modules('P7K4292W');
    expect(await decoders[name].decode(barsOf(right))).toEqual([{ text: 'P7K4292W', symbol: 'code-128' }]);
    const due = valuesOf(right).at(-1) ?? 0;
    for (const wrong of [0, 17, 64, 102].filter((value) => value !== due)) {
      expect(await decoders[name].decode(barsOf(withCheck(right, wrong)))).toEqual([]);
    }
  });
});

test('the wasm decoder reads turned and dim QR and Data Matrix, and an upright Code 128', async () => {
  const text = 'P7K4292W';
  for (const rotationDegrees of [0, 33, 90, 145]) {
    for (const symbol of ['qr', 'data-matrix'] as const) {
      const frame = await photograph(await drawSymbol({ text, symbol, scale: 8 }), {
        rotationDegrees,
        light: 0.4,
      });
      expect(await decoders.wasm.decode(frame), `${symbol} at ${rotationDegrees}`).toEqual([
        { text, symbol },
      ]);
    }
  }
  const upright = await photograph(await drawSymbol({ text, symbol: 'code-128', scale: 4 }), {
    rotationDegrees: 90,
  });
  expect(await decoders.wasm.decode(upright)).toEqual([{ text, symbol: 'code-128' }]);
});

test('the wasm decoder reads two tickets in one picture, so that the bench can say that there are two', async () => {
  const [one, two] = await Promise.all(
    ['P7K4292W', TICKETS[2] ?? ''].map(async (text) =>
      frameOf(await drawSymbol({ text, symbol: 'qr', scale: 4 })),
    ),
  );
  if (one === undefined || two === undefined) throw new Error('two frames were drawn');
  const texts = (await decoders.wasm.decode(beside(one, two))).map(({ text }) => text);
  expect(texts.sort()).toEqual(['P7K4292W', TICKETS[2]].sort());
});

describe('the check character of Code 128 (ISO/IEC 15417)', () => {
  /** (start + Σ position × value) mod 103. */
  const checkOf = ([start = 0, ...values]: readonly number[]): number =>
    values.reduce((sum, value, index) => sum + (index + 1) * value, start) % 103;

  test.each([
    // start A = 103, B = 104, C = 105, CODE C = 99
    {
      name: '«PJJ123C», start A (encyclopedia article «Code 128»)',
      symbol: [103, 48, 42, 42, 17, 18, 19, 35],
      check: 54,
    },
    { name: '«ABCDEF», start A (barcoderesource.com)', symbol: [103, 33, 34, 35, 36, 37, 38], check: 42 },
    { name: '«abcdef», start B (barcoderesource.com)', symbol: [104, 65, 66, 67, 68, 69, 70], check: 97 },
    { name: '«345678», start C (barcoderesource.com)', symbol: [105, 34, 56, 78], check: 73 },
    {
      name: '«HI345678», start A then code C (barcodeisland.com)',
      symbol: [103, 40, 41, 99, 34, 56, 78],
      check: 67,
    },
  ])('$name', ({ symbol, check }) => {
    expect(checkOf(symbol)).toBe(check);
  });

  test.each(['PJJ123C', 'ABCDEF', 'abcdef', '345678', 'HI345678', ...TICKETS])(
    'zint puts it under «%s»',
    async (text) => {
      const values = valuesOf(await code128Modules(text));
      expect(values.at(-1)).toBe(checkOf(values.slice(0, -1)));
    },
  );

  test('eight characters in set B take 123 modules, eight digits in set C 79', async () => {
    expect(await code128Modules('P7K4292W')).toHaveLength(123);
    expect(await code128Modules('12345678')).toHaveLength(79);
  });
});

/** Element widths by value 0–105, bars and spaces in turn: the table of ISO/IEC 15417, from memory; zint's drawings bear it out. */
const WIDTHS = (
  '212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 231212 112232 122132 122231 113222 ' +
  '123122 123221 223211 221132 221231 213212 223112 312131 311222 321122 321221 312212 322112 322211 212123 212321 ' +
  '232121 111323 131123 131321 112313 132113 132311 211313 231113 231311 112133 112331 132131 113123 113321 133121 ' +
  '313121 211331 231131 213113 213311 213131 311123 311321 331121 312113 312311 332111 314111 221411 431111 111224 ' +
  '111422 121124 121421 141122 141221 112214 112412 122114 122411 142112 142211 241211 221114 413111 241112 134111 ' +
  '111242 121142 121241 114212 124112 124211 411212 421112 421211 212141 214121 412121 111143 111341 131141 114113 ' +
  '114311 411113 411311 113141 114131 311141 411131 211412 211214 211232'
).split(' ');
const MODULES = WIDTHS.map((widths) =>
  [...widths].map((width, index) => '10'.charAt(index % 2).repeat(Number(width))).join(''),
);
const STOP_MODULES = 13;
const CHARACTER_MODULES = 11;

/** The values of start, data and check; the stop is left off. */
function valuesOf(modules: string): readonly number[] {
  const characters = modules.slice(0, -STOP_MODULES).match(/.{11}/g) ?? [];
  return characters.map((character) => {
    const value = MODULES.indexOf(character);
    if (value < 0) throw new Error(`no symbol character is drawn as ${character}`);
    return value;
  });
}

function withCheck(modules: string, value: number): string {
  const at = modules.length - STOP_MODULES - CHARACTER_MODULES;
  return modules.slice(0, at) + MODULES[value] + modules.slice(at + CHARACTER_MODULES);
}

/** The modules as bars 4 pixels a module, 120 high, in quiet zones of 10 modules. */
function barsOf(modules: string): Frame {
  const row = `${'0'.repeat(10)}${modules}${'0'.repeat(10)}`;
  return paint(row.length * 4, 120, (x) => (row[Math.floor(x / 4)] === '1' ? 0 : 255));
}

function plain(grey: number): Frame {
  return paint(640, 360, () => grey);
}

function stripes(): Frame {
  return paint(640, 360, (x, y) => ((x * 7 + y) % 53 < 20 ? 40 : 210));
}

/** White noise from a seeded generator (mulberry32), the same each time. */
function noise(seed: number): Frame {
  let state = seed;
  return paint(640, 360, () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed);
    return (mixed ^ (mixed >>> 14)) & 0xff;
  });
}

function beside(left: Frame, right: Frame): Frame {
  const grey = ({ width, height, data }: Frame, x: number, y: number) =>
    x < width && y < height ? (data[4 * (y * width + x)] ?? 255) : 255;
  return paint(left.width + right.width, Math.max(left.height, right.height), (x, y) =>
    x < left.width ? grey(left, x, y) : grey(right, x - left.width, y),
  );
}

function paint(width: number, height: number, greyAt: (x: number, y: number) => number): Frame {
  const data = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      data.fill(greyAt(x, y), 4 * (y * width + x), 4 * (y * width + x) + 3);
      data[4 * (y * width + x) + 3] = 255;
    }
  }
  return { width, height, data };
}

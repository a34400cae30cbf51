/**
 * Symbols for tests, drawn by programs that are not ours (zint, qrencode) and filmed by ffmpeg: a decoder that
 * shared a mistake with our own drawing would look right.
 */
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import type { Frame, SymbolKind } from '../../src/tablet/scan/decoder.ts';

const ZINT_TYPES: Readonly<Record<SymbolKind, string>> = {
  qr: 'QRCODE',
  'data-matrix': 'DATAMATRIX',
  'code-128': 'CODE128',
};
const BUFFER_MAX = 64 * 1024 * 1024;

export interface SymbolToDraw {
  readonly text: string;
  readonly symbol: SymbolKind;
  /** Pixels a module, whole. */
  readonly scale: number;
  /** Which program draws; qrencode does QR only. */
  readonly by?: 'zint' | 'qrencode';
}

/** The symbol as a PNG, dark on white, with its quiet zones; QR at level Q. */
export function drawSymbol({ text, symbol, scale, by = 'zint' }: SymbolToDraw): Promise<Buffer> {
  if (by === 'qrencode') {
    if (symbol !== 'qr') throw new RangeError(`qrencode draws no ${symbol}`);
    return run('qrencode', ['-o', '-', '-l', 'Q', '-s', String(scale), text]);
  }
  // zint counts from two pixels a module.
  const size = [
    `--scale=${scale / 2}`,
    '--quietzones',
    ...(symbol === 'qr' ? ['--secure=3'] : ['--height=40']),
  ];
  return run('zint', ['--direct', '--filetype=PNG', '-b', ZINT_TYPES[symbol], '-d', text, ...size]);
}

/** The bars of a Code 128 as zint lays them out: '1' for a dark module, '0' for a light one, no quiet zones. */
export async function code128Modules(text: string): Promise<string> {
  const dump = (await run('zint', ['-b', 'CODE128', '-d', text, '--dump'])).toString('ascii');
  const digits = dump.replace(/\s/g, '');
  const bits = [...digits].map((digit) => Number.parseInt(digit, 16).toString(2).padStart(4, '0')).join('');
  return bits.slice(0, bits.lastIndexOf('1') + 1);
}

/** A PNG's pixels. */
export async function frameOf(png: Buffer): Promise<Frame> {
  const rgba = await run(
    'ffmpeg',
    ['-v', 'error', '-i', '-', '-f', 'rawvideo', '-pix_fmt', 'rgba', '-'],
    png,
  );
  // The IHDR chunk: width and height at bytes 16 and 20 (PNG specification, W3C, section 11.2.2).
  return { width: png.readUInt32BE(16), height: png.readUInt32BE(20), data: new Uint8ClampedArray(rgba) };
}

export interface Shot {
  /** Width × height, for instance `1280x720`. */
  readonly size?: `${number}x${number}`;
  readonly rotationDegrees?: number;
  /** Share of the light that is left, 1 for all of it. */
  readonly light?: number;
  /** Noise of the sensor, 0–100; a real one is never quite still. */
  readonly noise?: number;
}

export interface Film extends Shot {
  readonly secondsEach?: number;
  /** Plain grey before each picture: the ticket has left the view. */
  readonly blankSeconds?: number;
  readonly framesPerSecond?: number;
}

/** One still of the symbol, centred on grey, as a camera would see it. */
export async function photograph(png: Buffer, shot: Shot = {}): Promise<Frame> {
  const still = await withFolder(async (folder) => {
    const from = await save(folder, 0, png);
    const graph = `${scene('0', 1, shot, 1)}[0s];[0s]${sensor(shot)}`;
    return run('ffmpeg', [
      ...quiet,
      '-loop',
      '1',
      '-t',
      '1',
      '-i',
      from,
      '-filter_complex',
      graph,
      '-frames:v',
      '1',
      '-f',
      'image2pipe',
      '-c:v',
      'png',
      '-',
    ]);
  });
  return frameOf(still);
}

/**
 * A film for Chromium's fake camera (`--use-file-for-fake-video-capture`), which plays it over and over.
 * @param file ends in .mjpeg (small) or .y4m (uncompressed: 1.4 MB a frame at 1280x720)
 */
export async function cameraFilm(pngs: readonly Buffer[], file: string, film: Film = {}): Promise<void> {
  const { secondsEach = 2, blankSeconds = 1, framesPerSecond = 10, size = '1280x720' } = film;
  const format = formatOf(file);
  await withFolder(async (folder) => {
    const inputs = await Promise.all(pngs.map((png, index) => save(folder, index, png)));
    const parts = inputs.flatMap((_, index) => [
      `color=gray:s=${size}:r=${framesPerSecond}:d=${blankSeconds},format=yuv420p,setsar=1[${index}b]`,
      `${scene(String(index), secondsEach, film, framesPerSecond)},format=yuv420p,setsar=1[${index}s]`,
    ]);
    const order = inputs
      .map((_, index) => (blankSeconds > 0 ? `[${index}b][${index}s]` : `[${index}s]`))
      .join('');
    const count = inputs.length * (blankSeconds > 0 ? 2 : 1);
    const used = blankSeconds > 0 ? parts : parts.filter((_, index) => index % 2 === 1);
    const graph = [...used, `${order}concat=n=${count}:v=1:a=0,${sensor(film)}`].join(';');
    const still = inputs.flatMap((path) => [
      '-loop',
      '1',
      '-r',
      String(framesPerSecond),
      '-t',
      String(secondsEach),
      '-i',
      path,
    ]);
    await run('ffmpeg', [
      ...quiet,
      ...still,
      '-filter_complex',
      graph,
      '-r',
      String(framesPerSecond),
      ...format,
      '-y',
      file,
    ]);
  });
}

const quiet = ['-v', 'error', '-nostdin'];

function formatOf(file: string): readonly string[] {
  switch (extname(file)) {
    case '.mjpeg':
      return ['-pix_fmt', 'yuvj420p', '-c:v', 'mjpeg', '-q:v', '3', '-f', 'mjpeg'];
    case '.y4m':
      return ['-pix_fmt', 'yuv420p', '-f', 'yuv4mpegpipe'];
    default:
      throw new RangeError(`a film is .mjpeg or .y4m, not ${file}`);
  }
}

/** The symbol turned on its own sheet, laid in the middle of a grey bench. */
function scene(
  input: string,
  seconds: number,
  { size = '1280x720', rotationDegrees = 0 }: Shot,
  rate: number,
): string {
  const angle = `${rotationDegrees}*PI/180`;
  const turned = `[${input}:v]format=rgba,rotate=${angle}:ow=rotw(${angle}):oh=roth(${angle}):c=gray[${input}t]`;
  return `${turned};color=gray:s=${size}:r=${rate}:d=${seconds}[${input}g];[${input}g][${input}t]overlay=(W-w)/2:(H-h)/2:shortest=1`;
}

function sensor({ light = 1, noise = 4 }: Shot): string {
  return `format=yuv420p,lutyuv=y=16+(val-16)*${light},noise=alls=${noise}:allf=t`;
}

async function save(folder: string, index: number, png: Buffer): Promise<string> {
  const path = join(folder, `${index}.png`);
  await writeFile(path, png);
  return path;
}

async function withFolder<Made>(work: (folder: string) => Promise<Made>): Promise<Made> {
  const folder = await mkdtemp(join(tmpdir(), 'symbols-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true });
  }
}

function run(program: string, parameters: readonly string[], input?: Buffer): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const child = execFile(
      program,
      parameters,
      { encoding: 'buffer', maxBuffer: BUFFER_MAX },
      (failure, stdout, stderr) => {
        if (failure === null) resolve(stdout);
        else reject(new Error(`${program}: ${stderr.toString() || failure.message}`));
      },
    );
    // A program that ends before it has read everything says so by its exit code.
    child.stdin?.on('error', () => {});
    child.stdin?.end(input);
  });
}

/**
 * Symbols drawn to size: QR (ISO/IEC 18004) and Code 128 (ISO/IEC 15417) as SVG in millimetres, their
 * quiet zones inside the picture so that no neighbour can eat into them.
 *
 * A module is a whole number of printer dots. A module of 3.2 dots is printed as 3 and 4 in turn, which
 * is print growth of a third: enough to spoil a narrow bar under dust. How wide a module is at least
 * follows the GS1 General Specifications, which bind nobody in a closed workshop, as guidance.
 */
// Its encoders by name: all of them together are ten times as large, and a desk reads this in to print.
import { code128 as drawCode128, drawingSVG, qrcode } from 'bwip-js/generic';
import { Markup, markup } from './markup.ts';

/** Each side, in modules. ISO/IEC 18004 asks for 4; ISO/IEC 15417 for 10 (left and right only). */
export const QR_QUIET_MODULES = 4;
export const CODE_128_QUIET_MODULES = 10;

/** Bars this tall, and at least a quarter as tall as wide, let a camera cross them all when it is tilted. */
const BARS_HEIGHT_MM_MIN = 15;
const BARS_HEIGHT_PER_WIDTH_MIN = 0.25;

const MM_PER_INCH = 25.4;
/** CSS Values and Units; a unit of SVG without a view box is one px. */
const CSS_PX_PER_INCH = 96;
const CSS_PX_PER_MM = CSS_PX_PER_INCH / MM_PER_INCH;
/** A 203 dpi head has 8 dots to the millimetre (203.2): the wish for 0.375 mm must not become 4 dots. */
const DOT_TOLERANCE = 0.01;

/** What a symbol has to fit. */
export interface Fit {
  /** Resolution that the printer's driver states, in dots per inch: 203, 300, 600 … */
  readonly dpi: number;
  /** Room for the symbol with its quiet zones, mm. */
  readonly roomMm: number;
  /** Module width that must be reached, mm. */
  readonly leastMm: number;
  /** Module width to take where there is room, mm; rounded up to whole dots. */
  readonly wishMm: number;
}

export interface PrintedSymbol {
  readonly svg: Markup;
  /** Across, quiet zones counted. */
  readonly modules: number;
  readonly dotsPerModule: number;
  /** The X-dimension, mm. */
  readonly moduleMm: number;
  /** Across and down, quiet zones counted, mm. */
  readonly widthMm: number;
  readonly heightMm: number;
}

/**
 * A QR code at error correction level Q (about a quarter of it may be dirty), or H where that makes it no
 * larger. Upper-case letters and digits go into alphanumeric mode: up to 16 characters are version 1,
 * 21 modules across.
 * @param label what a screen reader says of it
 * @throws RangeError when it cannot be at least `leastMm` a module in the room
 */
export function qr(text: string, label: string, fit: Fit): PrintedSymbol {
  // Held in a constant because the encoder's types leave this symbol's own option out.
  const options = { bcid: 'qrcode', text, scale: 1, eclevel: 'Q' };
  const drawn = encoded(qrcode(options, drawingSVG()));
  // The encoder draws two units a module.
  const modules = drawn.width / 2 + 2 * QR_QUIET_MODULES;
  const moduleDots = dotsPerModule(modules, fit);
  const moduleMm = dotsMm(moduleDots, fit.dpi);
  const sideMm = modules * moduleMm;
  const quiet = QR_QUIET_MODULES * 2;
  const svg = framed({
    dpi: fit.dpi,
    label,
    widthMm: sideMm,
    heightMm: sideMm,
    width: drawn.width + 2 * quiet,
    height: drawn.height + 2 * quiet,
    left: quiet,
    top: quiet,
    paths: drawn.paths,
  });
  return { svg, modules, dotsPerModule: moduleDots, moduleMm, widthMm: sideMm, heightMm: sideMm };
}

/**
 * A Code 128 symbol without text below (the number stands large on the ticket itself). Its width is
 * 11 modules for each symbol character, start and check counted, 13 for the stop, and the quiet zones.
 * @param label what a screen reader says of it
 * @throws RangeError when it cannot be at least `leastMm` a module in the room
 */
export function code128(text: string, label: string, fit: Fit): PrintedSymbol {
  const drawn = encoded(
    drawCode128({ bcid: 'code128', text, scale: 1, height: BARS_HEIGHT_MM_MIN }, drawingSVG()),
  );
  const modules = drawn.width + 2 * CODE_128_QUIET_MODULES;
  const moduleDots = dotsPerModule(modules, fit);
  const moduleMm = dotsMm(moduleDots, fit.dpi);
  const widthMm = modules * moduleMm;
  const barsMm = Math.max(BARS_HEIGHT_MM_MIN, BARS_HEIGHT_PER_WIDTH_MIN * drawn.width * moduleMm);
  // One dot to spare, which the printer may round away at the top or at the foot.
  const heightMm = dotsMm(Math.ceil(barsMm / dotsMm(1, fit.dpi)) + 1, fit.dpi);
  const svg = framed({
    dpi: fit.dpi,
    label,
    widthMm,
    heightMm,
    width: modules,
    height: drawn.height,
    left: CODE_128_QUIET_MODULES,
    top: 0,
    paths: drawn.paths,
  });
  return { svg, modules, dotsPerModule: moduleDots, moduleMm, widthMm, heightMm };
}

/** The most dots a module, up to the wish, with which `modules` fit the room. */
function dotsPerModule(modules: number, { dpi, roomMm, leastMm, wishMm }: Fit): number {
  const dotMm = dotsMm(1, dpi);
  const wish = Math.ceil(wishMm / dotMm - DOT_TOLERANCE);
  const least = Math.ceil(leastMm / dotMm - DOT_TOLERANCE);
  const room = Math.floor(roomMm / (modules * dotMm) + DOT_TOLERANCE / modules);
  const dots = Math.min(wish, room);
  if (dots >= least) return dots;
  const needMm = (modules * dotsMm(least, dpi)).toFixed(1);
  throw new RangeError(
    `a symbol of ${modules} modules needs ${needMm} mm, there are ${roomMm.toFixed(1)} mm`,
  );
}

function dotsMm(dots: number, dpi: number): number {
  return (dots * MM_PER_INCH) / dpi;
}

interface Drawn {
  readonly width: number;
  readonly height: number;
  readonly paths: string;
}

/** The encoder's picture taken out of its frame, which knows neither millimetres nor quiet zones. */
function encoded(svg: string): Drawn {
  const frame = /^<svg viewBox="0 0 (\d+) (\d+)"[^>]*>(.*)<\/svg>\s*$/s.exec(svg);
  if (frame === null) throw new Error(`unexpected picture from the encoder: ${svg.slice(0, 80)}`);
  return { width: Number(frame[1]), height: Number(frame[2]), paths: frame[3] ?? '' };
}

interface Frame {
  readonly dpi: number;
  readonly label: string;
  readonly widthMm: number;
  readonly heightMm: number;
  /** In units of the encoder's drawing, quiet zones counted. */
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly top: number;
  readonly paths: string;
}

/**
 * Bars must all be rounded to the printer's dots the same way, wherever on the page the symbol stands.
 * So the scale stands in the drawing and not in a view box: a browser cuts the box down to a fraction of a
 * pixel, would shrink the symbol with it, and somewhere in the row a bar would lose a dot. And as a browser
 * puts a drawing on a whole CSS pixel, that is on a multiple of 1/96 of a dot, the drawing is moved by half
 * of that: its edges are never exactly half way between two dots.
 */
function framed({ dpi, label, widthMm, heightMm, width, height, left, top, paths }: Frame): Markup {
  const scale = [widthMm / width, heightMm / height]
    .map((unitMm) => significant(unitMm * CSS_PX_PER_MM))
    .join(' ');
  const nudge = significant((dotsMm(1, dpi) * CSS_PX_PER_MM) / (2 * CSS_PX_PER_INCH));
  // crispEdges: a grey half dot on a bar's edge is a lottery in the printer's dithering.
  return markup`<svg xmlns="http://www.w3.org/2000/svg" role="img" width="${significant(widthMm)}mm" height="${significant(heightMm)}mm" overflow="visible" shape-rendering="crispEdges"><title>${label}</title><g transform="translate(${nudge} ${nudge}) scale(${scale})"><path fill="#fff" d="M0 0H${width}V${height}H0z"/><g transform="translate(${left} ${top})">${new Markup(paths)}</g></g></svg>`;
}

function significant(value: number): string {
  return value.toPrecision(9);
}

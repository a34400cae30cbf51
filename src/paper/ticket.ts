/**
 * A ticket: the label that is tied to a last and goes with the pair.
 *
 * Wax, stain and the string tear at corners, so no corner holds the only symbol: the QR code stands at the
 * top right for cameras, the Code 128 along the foot for laser and wedge scanners, and between them the
 * number itself, large, to be typed if both are gone. The owner's name is never on it.
 */
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import { printedDay } from './day.ts';
import type { Size } from './grid.ts';
import { type Markup, markup, nothing } from './markup.ts';
import { assertCode, printedNumber, spoken } from './number.ts';
import { listing, shortened } from './shortened.ts';
import { code128, qr } from './symbol.ts';
import { paperWords as words } from './words.ts';

export interface TicketPaper {
  /** The ticket's code as it is scanned. */
  readonly pair: string;
  /** What is to be done, in the site's words: `Full rebuild`. What is missing here is a line to write on. */
  readonly job?: string | undefined;
  readonly last?: string | undefined;
  readonly size?: string | undefined;
  readonly fitting?: string | undefined;
  /** ISO 8601 calendar date. */
  readonly promised?: string | undefined;
  /** Owner's things that travel with the pair: trees, laces, a bag. */
  readonly withThePair?: readonly string[] | undefined;
  /** Printed again because the first was lost: the same number, and marked so. */
  readonly second?: boolean | undefined;
}

export const TICKET_SIZE: Size = { widthMm: 100, heightMm: 70 };
/** Below this the symbols leave no room for a number that is read at arm's length. */
export const TICKET_SIZE_MIN: Size = { widthMm: 85, heightMm: 62 };

/** The strip with the hole, and the white along the other edges; `paper-style.ts` draws by the same. */
export const HOLE_STRIP_MM = 10.5;
export const EDGE_MM = 3.5;

/** The largest part of the height that the QR code may take. */
const QR_SHARE = 0.36;

/** Module widths: 0.375 mm is three dots of a 203 dpi label printer; the wish suits a tablet's camera. */
const CODE_128_MM = { leastMm: 0.375, wishMm: 0.5 };
/** GS1 General Specifications (guidance): two-dimensional symbols at 1.5 times a linear symbol's module. */
const QR_MM = { leastMm: 0.5, wishMm: 0.75 };

/**
 * One ticket as an `article`.
 * @param label the label's size; at least 85 × 62 mm
 * @param pattern the shape of the site's own numbers, where it prints its own
 * @throws RangeError when the code is none, the day does not exist or the label is too small
 */
export function ticket(
  paper: TicketPaper,
  { dpi, label, pattern }: { dpi: number; label: Size; pattern: TicketPattern | null },
): Markup {
  if (label.widthMm < TICKET_SIZE_MIN.widthMm || label.heightMm < TICKET_SIZE_MIN.heightMm) {
    throw new RangeError(
      `a ticket needs ${TICKET_SIZE_MIN.widthMm} × ${TICKET_SIZE_MIN.heightMm} mm at least`,
    );
  }
  const ours = assertCode(paper.pair, 'ticket', pattern);
  const name = spoken(paper.pair, ours);
  const square = qr(paper.pair, words.qrOf(name), { dpi, roomMm: label.heightMm * QR_SHARE, ...QR_MM });
  const roomMm = label.widthMm - HOLE_STRIP_MM - EDGE_MM;
  const bars = code128(paper.pair, words.barsOf(name), { dpi, roomMm, ...CODE_128_MM });
  const promised = paper.promised === undefined ? undefined : printedDay(paper.promised);
  const values = { ...paper, promised };

  return markup`<article class="ticket" aria-label="${words.ticket(name)}">
<div class="hole">${hole}</div>
<div class="face">
<div class="top"><dl class="facts">
${facts.map((name) => fact(name, values[name]))}
</dl><div class="symbol">${square.svg}</div></div>
<p class="number ${numberClass(paper.pair)}">${printedNumber(paper.pair, ours)}</p>
${withList(paper.withThePair ?? [])}
<div class="foot"><div class="symbol">${bars.svg}</div>${paper.second === true ? markup`<p class="second">${words.secondTicket}</p>` : nothing}</div>
</div>
</article>`;
}

/** Where the string goes. */
export const hole = markup`<svg role="img" width="7mm" height="7mm" viewBox="0 0 14 14"><title>${words.hole}</title><circle cx="7" cy="7" r="6" fill="none" stroke="currentColor" stroke-width=".5" stroke-dasharray="1.5 1"/><path d="M7 4.5v5M4.5 7h5" fill="none" stroke="currentColor" stroke-width=".4"/></svg>`;

const facts = ['job', 'last', 'size', 'fitting', 'promised'] as const;

/** Characters that stand at full size, and that stand at all. */
const FACT_LENGTHS: Readonly<Record<(typeof facts)[number], readonly [full: number, most: number]>> = {
  job: [20, 44],
  last: [9, 14],
  size: [5, 8],
  fitting: [5, 8],
  promised: [16, 16],
};

function fact(name: (typeof facts)[number], value: string | undefined): Markup {
  const [full, most] = FACT_LENGTHS[name];
  const text =
    value === undefined
      ? markup`<dd class="blank"></dd>`
      : markup`<dd class="${value.length > full ? 'long' : ''}">${shortened(value, most)}</dd>`;
  return markup`<div class="${name}"><dt>${words[name]}</dt>${text}</div>`;
}

/** Three small lines. */
const WITH_LENGTH = { most: 120, oneThing: 30, more: words.more };
/** Longer than this, the list is set smaller. */
const WITH_LENGTH_LARGE = 60;

function withList(all: readonly string[]): Markup {
  if (all.length === 0) return markup`<div class="with"></div>`;
  const things = listing(all, WITH_LENGTH);
  const size = things.join(', ').length > WITH_LENGTH_LARGE ? 'long' : '';
  const items = things.map(
    (thing, index) => markup`<li>${thing}${index < things.length - 1 ? ', ' : ''}</li>`,
  );
  return markup`<div class="with ${size}"><h2>${words.withThePair}</h2> <ul>${items}</ul></div>`;
}

/** Ours has eight characters; a site's own number may have up to 24, and must still stand on one line. */
function numberClass(code: string): string {
  if (code.length <= 8) return 'short';
  if (code.length <= 12) return 'middle';
  return code.length <= 18 ? 'long' : 'longest';
}

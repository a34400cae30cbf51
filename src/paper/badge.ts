/**
 * A badge: a card of 85.6 × 54 mm (ISO/IEC 7810, ID-1) with a back panel to fold behind it.
 *
 * A badge's code is 20 characters, so that it cannot be guessed. As Code 128 that is up to 255 modules and
 * 20 of quiet zone: 91 mm at 0.33 mm, which is wider than the card, 69 mm at 0.25 mm. A camera at a hand's
 * distance hardly reads that, and beside a QR code of any size there is no room for it. So the front is for
 * cameras, with a large QR code alone, and the back for laser and wedge scanners, which are held close,
 * with the Code 128 alone. A site that has only cameras leaves the back out.
 */
import type { Size } from './grid.ts';
import { type Markup, markup, nothing } from './markup.ts';
import { assertCode, printedNumber, spoken } from './number.ts';
import { shortened } from './shortened.ts';
import { code128, qr } from './symbol.ts';
import { paperWords as words } from './words.ts';

export interface BadgePaper {
  /** The badge's code as it is scanned. */
  readonly token: string;
  /** The name that benches show. */
  readonly name: string;
  /** The workshop, in small print. */
  readonly site?: string | undefined;
}

export const CARD_SIZE: Size = { widthMm: 85.6, heightMm: 54 };
/** White along a card's edges; `paper-style.ts` draws by the same. */
export const CARD_EDGE_MM = 4;
const QR_ROOM_MM = 34;
const NAME_LENGTH = 48;
const SITE_LENGTH = 26;

/** The paper that one badge takes: the card, or the card with its back below it. */
export function badgeSize(back: boolean): Size {
  return { widthMm: CARD_SIZE.widthMm, heightMm: CARD_SIZE.heightMm * (back ? 2 : 1) };
}

/**
 * One badge as an `article`.
 * @param back whether to print the panel with the Code 128
 * @throws RangeError when the code is no badge's
 */
export function badge(paper: BadgePaper, { dpi, back }: { dpi: number; back: boolean }): Markup {
  assertCode(paper.token, 'badge', null);
  const name = spoken(paper.token, true);
  const square = qr(paper.token, words.qrOf(name), {
    dpi,
    roomMm: QR_ROOM_MM,
    leastMm: 0.5,
    wishMm: 1,
  });
  const front = markup`<section class="card">
<div class="who"><p class="kind">${shortened(paper.site ?? words.badgeTitle, SITE_LENGTH)}</p><h2 class="${nameClass(paper.name)}">${shortened(paper.name, NAME_LENGTH)}</h2></div>
<div class="symbol">${square.svg}</div>
<p class="number">${printedNumber(paper.token, true)}</p>
</section>`;
  return markup`<article class="badge" aria-label="${words.badge(paper.name)}">
${front}${back ? backPanel(paper, name, dpi) : nothing}
</article>`;
}

function backPanel(paper: BadgePaper, name: string, dpi: number): Markup {
  const bars = code128(paper.token, words.barsOf(name), {
    dpi,
    roomMm: CARD_SIZE.widthMm - 2 * CARD_EDGE_MM,
    leastMm: 0.25,
    wishMm: 0.25,
  });
  return markup`<section class="card back" aria-label="${words.badgeBack(paper.name)}">
<p class="kind">${shortened(paper.name, NAME_LENGTH)}</p>
<div class="symbol">${bars.svg}</div>
<p class="care">${words.badgeCare}</p>
</section>`;
}

/** A long name is set smaller and over more lines rather than cut. */
function nameClass(name: string): string {
  if (name.length <= 14) return 'short';
  return name.length <= 24 ? 'middle' : 'long';
}

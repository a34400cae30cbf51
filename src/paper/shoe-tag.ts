/**
 * The tags of a pair's two shoes, tied on while the shoes travel apart: a large letter, the number, a QR code, and
 * nothing else. Two of them stand side by side on a label as large as a ticket and are cut apart.
 */
import { shoeTag } from '../domain/code.ts';
import { asPairId } from '../domain/ids.ts';
import type { OneShoe } from '../domain/record/kinds.ts';
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import type { Size } from './grid.ts';
import { type Markup, markup } from './markup.ts';
import { assertCode, printedNumber, spoken } from './number.ts';
import { qr } from './symbol.ts';
import { hole } from './ticket.ts';
import { paperWords as words } from './words.ts';

/** White along a tag's edges; `paper-style.ts` draws by the same. */
export const TAG_EDGE_MM = 2.5;
/** The largest part of a tag's height that the QR code may take. */
const QR_SHARE = 0.42;
/** As on a ticket: GS1 General Specifications (guidance), two-dimensional symbols at 1.5 times a linear one's module. */
const QR_MM = { leastMm: 0.5, wishMm: 0.75 };

/**
 * Both tags of a pair as one `article`.
 * @param label the size of both together
 * @throws RangeError when the number is no ticket's or the label is too small
 */
export function shoeTags(
  pair: string,
  { dpi, label, pattern }: { dpi: number; label: Size; pattern: TicketPattern | null },
): Markup {
  const ours = assertCode(pair, 'ticket', pattern);
  const roomMm = Math.min(label.widthMm / 2 - 2 * TAG_EDGE_MM, label.heightMm * QR_SHARE);
  const tag = (shoe: OneShoe) => {
    const name = `${spoken(pair, ours)} ${words.tagLetter[shoe]}`;
    const square = qr(shoeTag(asPairId(pair), shoe, ours), words.qrOf(name), { dpi, roomMm, ...QR_MM });
    return markup`<section class="tag" aria-label="${words.tag[shoe]}">
<div class="hole">${hole}</div>
<p class="letter">${words.tagLetter[shoe]}</p>
<div class="symbol">${square.svg}</div>
<p class="number ${numberClass(pair)}">${printedNumber(pair, ours)}</p>
</section>`;
  };
  return markup`<article class="tags">${tag('left')}${tag('right')}</article>`;
}

function numberClass(code: string): string {
  if (code.length <= 8) return 'short';
  return code.length <= 12 ? 'middle' : 'long';
}

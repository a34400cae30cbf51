/** A card that makes a tablet a bench: its stages, the set-up code, and until when the code holds. */
import { printedInstant } from './day.ts';
import type { Size } from './grid.ts';
import { type Markup, markup } from './markup.ts';
import { assertCode, printedNumber, spoken } from './number.ts';
import { listing, shortened } from './shortened.ts';
import { code128, qr } from './symbol.ts';
import { paperWords as words } from './words.ts';

export interface BenchPaper {
  /** The set-up code as it is scanned. */
  readonly token: string;
  /** What the bench is called in the workshop. */
  readonly name: string;
  /** The stages done there, in words. */
  readonly stages: readonly string[];
  /** ISO 8601 instant. */
  readonly validUntil: string;
  /** IANA time zone of the site, in which the instant is printed. */
  readonly zone: string;
}

export const BENCH_CARD_SIZE: Size = { widthMm: 100, heightMm: 70 };
/** White along the edges; `paper-style.ts` draws by the same. */
export const BENCH_CARD_EDGE_MM = 4;
const QR_ROOM_MM = 29.5;
const NAME_LENGTH = 30;
const STAGES_LENGTH = { most: 120, oneThing: 28, more: words.more };

/**
 * One set-up card as an `article`.
 * @throws RangeError when the code is no set-up code, or the instant or the zone is unknown
 */
export function benchCard(paper: BenchPaper, { dpi }: { dpi: number }): Markup {
  assertCode(paper.token, 'bench', null);
  const name = spoken(paper.token, true);
  const square = qr(paper.token, words.qrOf(name), { dpi, roomMm: QR_ROOM_MM, leastMm: 0.5, wishMm: 1 });
  const bars = code128(paper.token, words.barsOf(name), {
    dpi,
    roomMm: BENCH_CARD_SIZE.widthMm - 2 * BENCH_CARD_EDGE_MM,
    leastMm: 0.375,
    wishMm: 0.375,
  });
  const stages = listing(paper.stages, STAGES_LENGTH);
  const dense = stages.join(', ').length > 60 ? 'long' : '';
  return markup`<article class="bench" aria-label="${words.bench(paper.name)}">
<div class="who"><p class="kind">${words.benchTitle}</p><h2 class="${paper.name.length > 22 ? 'long' : ''}">${shortened(paper.name, NAME_LENGTH)}</h2>
<h3>${words.stages}</h3><ul class="${dense}">${stages.map((stage) => markup`<li>${stage}</li>`)}</ul></div>
<div class="symbol">${square.svg}</div>
<p class="number">${printedNumber(paper.token, true)}</p>
<p class="until"><span>${words.validUntil}</span> ${printedInstant(paper.validUntil, paper.zone)}</p>
<div class="foot symbol">${bars.svg}</div>
<p class="care">${words.benchCare}</p>
</article>`;
}

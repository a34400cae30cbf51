/** A rack's label as a page of its own: the name large, the code for cameras, and its letters for the keypad. */
import { classify } from '../../domain/code.ts';
import { FONT_FAMILY } from '../../paper/font.ts';
import { markup } from '../../paper/markup.ts';
import { printedNumber, spoken } from '../../paper/number.ts';
import { shortened } from '../../paper/shortened.ts';
import { qr } from '../../paper/symbol.ts';
import { fontFaces } from '../paper/font.ts';

/** As large as a ticket, so that the same label roll serves. */
const LABEL = { widthMm: 100, heightMm: 70 };
/** Read from a step away, so with larger modules than a ticket's. */
const QR_MM = { dpi: 203, roomMm: 44, leastMm: 0.75, wishMm: 1.25 };
const NAME_LENGTH = 40;

export interface RackPaper {
  readonly rack: string;
  readonly name: string;
}

/** @throws RangeError where the code is no rack's */
export function rackPage({ rack, name }: RackPaper): string {
  if (classify(rack, 'camera').kind !== 'rack') throw new RangeError(`${rack} is no rack's code`);
  const square = qr(rack, `QR code of ${spoken(rack, true)}`, QR_MM);
  const page = markup`<article><h1>${shortened(name, NAME_LENGTH)}</h1>${square.svg}<p>${printedNumber(rack, true)}</p></article>`;
  return `<!doctype html>
<html lang="en-GB"><head><meta charset="utf-8"><title>${String(markup`${name}`)}</title>
<style>${fontFaces}
${STYLE}</style></head><body>${String(page)}</body></html>
`;
}

const STYLE = `@page{size:${LABEL.widthMm}mm ${LABEL.heightMm}mm;margin:0}
*{box-sizing:border-box;margin:0;padding:0}
html{font:700 8mm/1.05 "${FONT_FAMILY}",sans-serif;color:#1d1916;-webkit-print-color-adjust:exact;print-color-adjust:exact}
article{display:grid;grid-template-columns:minmax(0,1fr) auto;grid-template-rows:1fr auto;width:${LABEL.widthMm}mm;height:${LABEL.heightMm}mm;padding:4mm;align-items:center}
h1{font-size:11mm;line-height:1;overflow-wrap:anywhere}
svg{display:block}
p{grid-column:1/-1;font-size:13mm;white-space:nowrap}
.check{font-weight:800;text-decoration:underline;text-decoration-thickness:.08em;text-underline-offset:.12em}
`;

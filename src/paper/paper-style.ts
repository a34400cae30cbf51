/**
 * The style sheet of a printed page. Lengths are millimetres, and symbols never scale: they are as wide as
 * the printer's dots make them. Labels are white on paper; the manila is for the screen only, since a tint
 * behind bars costs contrast and ink.
 */
import { CARD_EDGE_MM, CARD_SIZE } from './badge.ts';
import { BENCH_CARD_EDGE_MM } from './bench-card.ts';
import { FONT_FAMILY } from './font.ts';
import { type Arrangement, arrangement, type PaperKind, type PaperLayout } from './layout.ts';
import { TAG_EDGE_MM } from './shoe-tag.ts';
import { EDGE_MM, HOLE_STRIP_MM, TICKET_SIZE } from './ticket.ts';

/**
 * The whole style sheet for pages of these kinds.
 * @param fontFaces `@font-face` rules of `FONT_FAMILY`: as data in a file that stands alone, by address in a browser
 */
export function paperStyle(kinds: readonly PaperKind[], layout: PaperLayout, fontFaces: string): string {
  const pages = kinds.map((kind) => pageRules(kind, arrangement(kind, layout)));
  const scale = Math.min(
    layout.ticketSize.widthMm / TICKET_SIZE.widthMm,
    layout.ticketSize.heightMm / TICKET_SIZE.heightMm,
  );
  const outlined = layout.on === 'sheet' && layout.cutLines ? '.ticket,.tag,' : '';
  const cut =
    layout.on === 'sheet' ? `${outlined}.card,.bench{outline:.1mm solid #b9ad9b;outline-offset:-.1mm}` : '';
  return [fontFaces, COMMON, `:root{--k:${plain(scale)}}`, TICKET, TAGS, BADGE, BENCH, cut, ...pages].join(
    '\n',
  );
}

/** One kind's pages: the paper's size, and the grid on it. */
function pageRules(kind: PaperKind, { label, grid }: Arrangement): string {
  const { page, columns, rows, leftMm, topMm, gapXMm, gapYMm } = grid;
  return `@page ${kind}{size:${mm(page.widthMm)} ${mm(page.heightMm)};margin:0}
.${kind}{page:${kind};width:${mm(page.widthMm)};height:${mm(page.heightMm)};padding:${mm(topMm)} 0 0 ${mm(leftMm)};grid-template-columns:repeat(${columns},${mm(label.widthMm)});grid-template-rows:repeat(${rows},${mm(label.heightMm)});column-gap:${mm(gapXMm)};row-gap:${mm(gapYMm)}}`;
}

/** Nothing but a finite number of millimetres gets into the style sheet. */
function mm(length: number): string {
  return `${plain(length)}mm`;
}

function plain(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`no length: ${value}`);
  return String(Math.round(value * 10_000) / 10_000);
}

const COMMON = `
*{box-sizing:border-box;margin:0;padding:0}
html{font:400 3.2mm/1.15 "${FONT_FAMILY}",sans-serif;color:#1d1916;background:#f7f2e8;font-variant-numeric:tabular-nums lining-nums;-webkit-print-color-adjust:exact;print-color-adjust:exact}
ul{list-style:none}
svg{display:block}
.sheet{display:grid;align-content:start;background:#fff;overflow:hidden;break-after:page}
.sheet:last-child{break-after:auto}
.sheet>*{overflow:hidden;break-inside:avoid;overflow-wrap:anywhere}
.group{white-space:nowrap}
.number{font-weight:700;line-height:1;white-space:nowrap}
.check{color:#6d1f26;font-weight:800;text-decoration:underline;text-decoration-thickness:.08em;text-underline-offset:.12em}
dt,h3,.with h2,.kind,.care,.until span{color:#5c534a;font-weight:400}
@media screen{
body{padding:8mm}
.guide{max-width:210mm;padding-bottom:6mm}
.guide h1{font-size:6mm;line-height:1.2}
.guide p{font-size:4mm;padding-top:1mm}
.sheet{outline:.3mm solid #d9cfbf;margin-bottom:8mm}
}
@media print{html{background:none}.guide{display:none}}
`;

const TICKET = `
.ticket{display:grid;grid-template-columns:${mm(HOLE_STRIP_MM)} 1fr;height:100%}
.ticket .hole{display:grid;place-items:center;color:#5c534a}
.ticket .face{display:grid;grid-template-rows:auto 1fr auto auto;grid-template-columns:minmax(0,1fr);padding:${mm(EDGE_MM)} ${mm(EDGE_MM)} ${mm(EDGE_MM)} 0;min-width:0}
.ticket .top{display:grid;grid-template-columns:minmax(0,1fr) auto;padding-left:${mm(EDGE_MM)};column-gap:2mm}
.facts{display:grid;grid-template-columns:2fr 1fr 1fr;gap:calc(.8mm*var(--k)) calc(3mm*var(--k));min-width:0;align-content:start}
.facts>div{min-width:0}
.facts dt{font-size:calc(2.4mm*var(--k));line-height:1}
.facts dd{font-size:calc(4.2mm*var(--k));line-height:1.1;font-weight:600}
.facts .job,.facts .promised{grid-column:1/-1}
.facts .job dd,.facts .promised dd{font-size:calc(4.6mm*var(--k));font-weight:700}
.facts .job dd.long,.facts dd.long{font-size:calc(2.9mm*var(--k));line-height:1}
.facts dd.blank{height:calc(4.6mm*var(--k));border-bottom:.2mm solid #1d1916}
.ticket .number{align-self:center;padding-left:${mm(EDGE_MM)};font-size:calc(11.4mm*var(--k))}
.ticket .number.middle{font-size:calc(7.6mm*var(--k))}
.ticket .number.long{font-size:calc(5.1mm*var(--k))}
.ticket .number.longest{font-size:calc(3.8mm*var(--k))}
.with{padding:0 0 calc(1.5mm*var(--k)) ${mm(EDGE_MM)};font-size:calc(3.4mm*var(--k));line-height:1.05}
.with h2{display:inline;font-size:calc(2.4mm*var(--k));padding-right:1.5mm}
.with ul,.with li{display:inline}
.with.long{font-size:calc(2.6mm*var(--k))}
.ticket .foot{display:grid;grid-template-columns:auto 1fr;align-items:end}
.second{font-weight:700;font-size:calc(3.4mm*var(--k));line-height:1.05;overflow-wrap:normal}
`;

const TAGS = `
.tags{display:grid;grid-template-columns:1fr 1fr;height:100%}
.tag{display:grid;grid-template-rows:auto 1fr auto auto;justify-items:center;padding:${mm(TAG_EDGE_MM)};min-width:0}
.tag .hole{color:#5c534a}
.tag .letter{align-self:center;font-size:calc(22mm*var(--k));line-height:.8;font-weight:800}
.tag .number{padding-top:calc(1.5mm*var(--k));font-size:calc(7mm*var(--k));text-align:center}
.tag .number.middle{font-size:calc(5mm*var(--k))}
.tag .number.long{font-size:calc(3.4mm*var(--k));white-space:normal;overflow-wrap:anywhere}
`;

const BADGE = `
.card{position:relative;width:${mm(CARD_SIZE.widthMm)};height:${mm(CARD_SIZE.heightMm)};padding:${mm(CARD_EDGE_MM)};overflow:hidden}
.card:not(.back){display:grid;grid-template-columns:minmax(0,1fr) auto;grid-template-rows:1fr auto}
.card .who{align-self:center;min-width:0;padding-right:1mm}
.card .kind{font-size:3mm;line-height:1.2;padding-bottom:1mm}
.card h2{font-size:7.4mm;line-height:1.05;font-weight:700}
.card h2.middle{font-size:6mm}
.card h2.long{font-size:4.6mm}
.card:not(.back) .symbol{margin:-2mm -2mm 0 0}
.card .number{grid-column:1/-1;font-size:4.8mm;line-height:1.05;white-space:normal}
.back{display:grid;grid-template-rows:auto 1fr auto}
.back .symbol{align-self:center;justify-self:start}
.back .care{font-size:2.8mm}
`;

const BENCH = `
.bench{display:grid;grid-template-columns:minmax(0,1fr) auto;grid-template-rows:1fr auto auto auto auto;padding:${mm(BENCH_CARD_EDGE_MM)};height:100%}
.bench .kind{font-size:3mm;line-height:1.2}
.bench h2{font-size:6.4mm;line-height:1.05}
.bench h2.long{font-size:4.4mm}
.bench h3{font-size:2.6mm;line-height:1;padding-top:1.5mm}
.bench li{display:inline}
.bench li:not(:last-child)::after{content:" · "}
.bench ul{font-size:3.8mm;line-height:1.1;font-weight:600}
.bench ul.long{font-size:2.7mm}
.bench>.symbol:not(.foot){margin:-2.5mm -2.5mm 0 0}
.bench .number{grid-column:1/-1;font-size:8mm;padding-bottom:1.5mm}
.bench .until{grid-column:1/-1;font-size:4mm;font-weight:700;padding-bottom:1mm}
.bench .foot{grid-column:1/-1;justify-self:start;margin-left:${mm(-BENCH_CARD_EDGE_MM)}}
.bench .care{grid-column:1/-1;font-size:2.6mm;padding-top:.5mm}
`;

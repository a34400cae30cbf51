/** A printable page of tickets, badges and set-up cards: one HTML file that needs nothing beside it. */
import { createHash } from 'node:crypto';
import type { TicketPattern } from '../../domain/ticket-pattern.ts';
import { type BadgePaper, badge } from './badge.ts';
import { type BenchPaper, benchCard } from './bench-card.ts';
import { bySheet } from './grid.ts';
import { arrangement, DEFAULT_LAYOUT, type PaperKind, type PaperLayout } from './layout.ts';
import { Markup, markup } from './markup.ts';
import { paperStyle } from './paper-style.ts';
import { type TicketPaper, ticket } from './ticket.ts';
import { paperWords as words } from './words.ts';

export interface PaperPage {
  readonly title: string;
  readonly tickets?: readonly TicketPaper[] | undefined;
  readonly badges?: readonly BadgePaper[] | undefined;
  readonly benches?: readonly BenchPaper[] | undefined;
  /** What is not said is as in `DEFAULT_LAYOUT`. */
  readonly layout?: Partial<PaperLayout> | undefined;
  /** The shape of the site's own ticket numbers, where it prints its own. */
  readonly pattern?: TicketPattern | null | undefined;
}

/**
 * The page as HTML: no script, no style attribute, one style element, every text escaped. Each kind of
 * paper has its own sheets, and its own paper size where they are single.
 * @throws RangeError for a code that no bench would take, an unknown day, or labels that do not fit
 */
export function paperPage({ title, tickets = [], badges = [], benches = [], ...rest }: PaperPage): string {
  const layout: PaperLayout = { ...DEFAULT_LAYOUT, ...rest.layout };
  const { dpi, badgeBack } = layout;
  const ticketSetting = { dpi, label: layout.ticketSize, pattern: rest.pattern ?? null };
  const papers: readonly (readonly [PaperKind, readonly Markup[]])[] = [
    ['tickets', tickets.map((paper) => ticket(paper, ticketSetting))],
    ['badges', badges.map((paper) => badge(paper, { dpi, back: badgeBack }))],
    ['benches', benches.map((paper) => benchCard(paper, { dpi }))],
  ];
  const present = papers.filter(([, labels]) => labels.length > 0);
  const kinds = present.map(([kind]) => kind);
  const sheets = present.flatMap(([kind, labels]) =>
    bySheet(labels, arrangement(kind, layout).grid).map(
      (sheet) => markup`<section class="sheet ${kind}">${sheet}</section>\n`,
    ),
  );
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${title}</title>
<style>${new Markup(paperStyle(kinds, layout))}</style>
</head>
<body>
<header class="guide"><h1>${title}</h1><p>${words.actualSize}</p></header>
<main>
${sheets}</main>
</body>
</html>
`.toString();
}

/**
 * The Content-Security-Policy (CSP Level 3) under which exactly this page is whole: its one style element by
 * hash, its font as data, and nothing else.
 * @param page what `paperPage` returned
 */
export function paperPolicy(page: string): string {
  const style = /<style>(.*?)<\/style>/s.exec(page)?.[1] ?? '';
  const hash = createHash('sha256').update(style, 'utf8').digest('base64');
  return `default-src 'none'; style-src 'sha256-${hash}'; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'`;
}

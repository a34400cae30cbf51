/** Printable sheets of tickets, shoe tags, badges and set-up cards. */
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import { type BadgePaper, badge } from './badge.ts';
import { type BenchPaper, benchCard } from './bench-card.ts';
import { bySheet } from './grid.ts';
import { arrangement, DEFAULT_LAYOUT, type PaperKind, type PaperLayout } from './layout.ts';
import { Markup, markup } from './markup.ts';
import { paperStyle } from './paper-style.ts';
import { shoeTags } from './shoe-tag.ts';
import { type TicketPaper, ticket } from './ticket.ts';
import { paperWords as words } from './words.ts';

export interface PaperPage {
  readonly title: string;
  readonly tickets?: readonly TicketPaper[] | undefined;
  /** Beside each ticket the tags of its two shoes, on a label of the same size. */
  readonly tags?: boolean | undefined;
  readonly badges?: readonly BadgePaper[] | undefined;
  readonly benches?: readonly BenchPaper[] | undefined;
  /** What is not said is as in `DEFAULT_LAYOUT`. */
  readonly layout?: Partial<PaperLayout> | undefined;
  /** The shape of the site's own ticket numbers, where it prints its own. */
  readonly pattern?: TicketPattern | null | undefined;
}

/** What a page is made of, for whoever puts it into a file or into a window. */
export interface PaperSheets {
  /** The body: no script, no style attribute, every text escaped. */
  readonly body: Markup;
  readonly style: string;
}

/**
 * The sheets. Each kind of paper has its own, and its own paper size where they are single.
 * @param fontFaces see `paperStyle`
 * @throws RangeError for a code that no bench would take, an unknown day, or labels that do not fit
 */
export function paperSheets(page: PaperPage, fontFaces: string): PaperSheets {
  const { title, tickets = [], tags = false, badges = [], benches = [], pattern = null } = page;
  const layout: PaperLayout = { ...DEFAULT_LAYOUT, ...page.layout };
  const { dpi, badgeBack } = layout;
  const ticketSetting = { dpi, label: layout.ticketSize, pattern };
  const papers: readonly (readonly [PaperKind, readonly Markup[]])[] = [
    [
      'tickets',
      tickets.flatMap((paper) => [
        ticket(paper, ticketSetting),
        ...(tags ? [shoeTags(paper.pair, ticketSetting)] : []),
      ]),
    ],
    ['badges', badges.map((paper) => badge(paper, { dpi, back: badgeBack }))],
    ['benches', benches.map((paper) => benchCard(paper, { dpi }))],
  ];
  const present = papers.filter(([, labels]) => labels.length > 0);
  const sheets = present.flatMap(([kind, labels]) =>
    bySheet(labels, arrangement(kind, layout).grid).map(
      (sheet) => markup`<section class="sheet ${kind}">${sheet}</section>\n`,
    ),
  );
  const kinds = present.map(([kind]) => kind);
  return {
    style: paperStyle(kinds, layout, fontFaces),
    body: markup`<header class="guide"><h1>${title}</h1><p>${words.actualSize}</p></header>
<main>
${sheets}</main>`,
  };
}

/** The page as HTML that needs nothing beside it: one style element, and no other. */
export function paperFile(page: PaperPage, fontFaces: string): string {
  const { body, style } = paperSheets(page, fontFaces);
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${page.title}</title>
<style>${new Markup(style)}</style>
</head>
<body>
${body}
</body>
</html>
`.toString();
}

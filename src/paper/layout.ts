/** How paper is laid out: printer, label sizes, and where labels lie on a sheet. */
import { badgeSize } from './badge.ts';
import { BENCH_CARD_SIZE } from './bench-card.ts';
import { A4, type Grid, gridFor, oneAPage, type Size } from './grid.ts';
import { TICKET_SIZE } from './ticket.ts';

export interface PaperLayout {
  /** Resolution of the printer, dots per inch. */
  readonly dpi: number;
  /** `sheet`: many on a page; `single`: one a page, for a label roll or a card printer. */
  readonly on: 'sheet' | 'single';
  readonly page: Size;
  readonly ticketSize: Size;
  /** Where a sheet of ready-cut ticket labels has its labels; what is not said is worked out. */
  readonly ticketGrid: Partial<Omit<Grid, 'page'>>;
  /** Hairlines around tickets on a sheet; off for ready-cut labels. Cards always have them. */
  readonly cutLines: boolean;
  /** Whether badges have a back panel with a Code 128, for laser and wedge scanners. */
  readonly badgeBack: boolean;
}

export const DEFAULT_LAYOUT: PaperLayout = {
  dpi: 203,
  on: 'sheet',
  page: A4,
  ticketSize: TICKET_SIZE,
  ticketGrid: {},
  cutLines: true,
  badgeBack: true,
};

export type PaperKind = 'tickets' | 'badges' | 'benches';

/** One kind of paper on its own sheets. */
export interface Arrangement {
  readonly label: Size;
  readonly grid: Grid;
}

/** White between cards, so that one cut does not trim two. */
const CARD_GAP_MM = 6;

/**
 * Where the labels of a kind lie.
 * @throws RangeError when they do not fit the page
 */
export function arrangement(kind: PaperKind, layout: PaperLayout): Arrangement {
  const label = labelSize(kind, layout);
  if (layout.on === 'single') return { label, grid: oneAPage(label) };
  const { page } = layout;
  if (kind === 'tickets') return { label, grid: gridFor(label, { ...layout.ticketGrid, page }) };
  const gapMm = kind === 'badges' ? CARD_GAP_MM : 0;
  return { label, grid: gridFor(label, { page, gapXMm: gapMm, gapYMm: gapMm }) };
}

function labelSize(kind: PaperKind, { ticketSize, badgeBack }: PaperLayout): Size {
  switch (kind) {
    case 'tickets':
      return ticketSize;
    case 'badges':
      return badgeSize(badgeBack);
    case 'benches':
      return BENCH_CARD_SIZE;
  }
}

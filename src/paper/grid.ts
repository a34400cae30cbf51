/** Where labels lie on a sheet, in millimetres. */

export interface Size {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** ISO 216. */
export const A4: Size = { widthMm: 210, heightMm: 297 };

export interface Grid {
  readonly page: Size;
  readonly columns: number;
  readonly rows: number;
  /** From the sheet's edge to the first label. */
  readonly leftMm: number;
  readonly topMm: number;
  readonly gapXMm: number;
  readonly gapYMm: number;
}

/** What office printers leave white along the edges (common practice, no source). */
const EDGE_MM = 4;
/** Label makers cut to a tenth; a sheet that is right on paper must not be refused for a rounding. */
const TOLERANCE_MM = 0.05;

/**
 * A grid for labels of this size: `wish` where it says something, otherwise as many as fit inside the
 * printable area, in the middle of the sheet.
 * @throws RangeError when they do not all lie on the sheet
 */
export function gridFor(label: Size, wish: Partial<Grid> = {}): Grid {
  const page = wish.page ?? A4;
  const gapXMm = wish.gapXMm ?? 0;
  const gapYMm = wish.gapYMm ?? 0;
  const columns = wish.columns ?? count(page.widthMm, label.widthMm, gapXMm);
  const rows = wish.rows ?? count(page.heightMm, label.heightMm, gapYMm);
  const grid: Grid = {
    page,
    columns,
    rows,
    leftMm: wish.leftMm ?? (page.widthMm - span(columns, label.widthMm, gapXMm)) / 2,
    topMm: wish.topMm ?? (page.heightMm - span(rows, label.heightMm, gapYMm)) / 2,
    gapXMm,
    gapYMm,
  };
  assertFits(label, grid);
  return grid;
}

/** The grid of a roll or of single cards: one label, and the page is the label. */
export function oneAPage(label: Size): Grid {
  return { page: label, columns: 1, rows: 1, leftMm: 0, topMm: 0, gapXMm: 0, gapYMm: 0 };
}

/** `items` by sheet, in order. */
export function bySheet<Item>(items: readonly Item[], { columns, rows }: Grid): readonly (readonly Item[])[] {
  const each = columns * rows;
  return Array.from({ length: Math.ceil(items.length / each) }, (_, sheet) =>
    items.slice(sheet * each, (sheet + 1) * each),
  );
}

function assertFits(label: Size, grid: Grid): void {
  const { page, columns, rows, leftMm, topMm, gapXMm, gapYMm } = grid;
  const lengths = [leftMm, topMm, gapXMm, gapYMm];
  if (!lengths.every((length) => Number.isFinite(length) && length >= -TOLERANCE_MM)) {
    throw new RangeError(`labels of ${label.widthMm} × ${label.heightMm} mm do not fit the sheet`);
  }
  if (![columns, rows].every((many) => Number.isInteger(many) && many >= 1)) {
    throw new RangeError(`no whole label of ${label.widthMm} × ${label.heightMm} mm on the sheet`);
  }
  const rightMm = leftMm + span(columns, label.widthMm, gapXMm);
  const bottomMm = topMm + span(rows, label.heightMm, gapYMm);
  if (rightMm > page.widthMm + TOLERANCE_MM || bottomMm > page.heightMm + TOLERANCE_MM) {
    throw new RangeError(
      `${columns} × ${rows} labels reach to ${rightMm.toFixed(1)} × ${bottomMm.toFixed(1)} mm, ` +
        `the sheet ends at ${page.widthMm} × ${page.heightMm} mm`,
    );
  }
}

function count(pageMm: number, labelMm: number, gapMm: number): number {
  return Math.floor((pageMm - 2 * EDGE_MM + gapMm + TOLERANCE_MM) / (labelMm + gapMm));
}

function span(many: number, labelMm: number, gapMm: number): number {
  return many * labelMm + (many - 1) * gapMm;
}

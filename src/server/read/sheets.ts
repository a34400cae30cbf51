/** What the read interface needs of whoever computes shift sheets. */
import type { ShiftSheet } from '../../domain/figures/sheet.ts';
import type { Instant } from '../../domain/instant.ts';
import type { AppContext } from '../parts.ts';

export type SheetFound =
  | { readonly is: 'sheet'; readonly sheet: ShiftSheet }
  /** The figures are being computed for the first time: so many pairs of so many. */
  | { readonly is: 'preparing'; readonly done: number; readonly of: number }
  /** No shift of the asking key's site has begun at that instant. */
  | { readonly is: 'no-shift' };

/** The sheet of the shift that began at `from`, for the site of whoever asks. */
export type FindSheet = (c: AppContext, from: Instant) => Promise<SheetFound>;

/** What the parts of the shift page are handed: how to ask, how to open a number, how to name a pair. */
import type { FigureName } from '../../domain/figures/members-of.ts';
import type { Instant } from '../../domain/instant.ts';

import type { DeskApi } from '../api.ts';
import type { SetUp } from '../set-up.ts';

export interface Ways {
  readonly api: DeskApi;
  readonly setUp: SetUp;
}

/** A number whose records are to be shown. */
export interface Opened {
  readonly figure: FigureName;
  /** A stage's code or an operative's id; empty for the whole line. */
  readonly of: string;
  /** Its name on the page; null for the whole line. */
  readonly name: string | null;
  /** The badge that opens a number of one person. */
  readonly badge?: string;
}

export type Open = (opened: Opened) => void;

/** How the page reads an instant. */
export interface Reading {
  readonly zone: string;
  readonly at: Instant;
}

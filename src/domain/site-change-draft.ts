/** The book while it is being changed: routes and wordings stand apart until they get a version of their own. */

import type { StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import { lineSchema } from './record/envelope.ts';
import type { SiteBook } from './site-book.ts';
import type { SiteFault } from './site-change-faults.ts';
import type { SiteRoutes } from './site-routes.ts';

export type RoutesDraft = Pick<SiteRoutes, 'steps' | 'needs'>;

export interface SiteDraft {
  /** As it stood before the first of the changes. */
  readonly before: SiteBook;
  readonly book: SiteBook;
  readonly routes: RoutesDraft;
}

export interface ChangeContext {
  readonly now: Instant;
  /** The site's calendar day, `2026-11-25`. */
  readonly today: string;
  /** How many pairs are clocked in at a stage at this moment. */
  readonly pairsOpenAt: ReadonlyMap<StageCode, number>;
}

export type Outcome<Value> = { readonly ok: Value } | { readonly faults: readonly SiteFault[] };

export const refused = (...faults: readonly SiteFault[]): { readonly faults: readonly SiteFault[] } => ({
  faults,
});

/** The draft with part of its book replaced. */
export const withBook = (draft: SiteDraft, part: Partial<SiteBook>): { readonly ok: SiteDraft } => ({
  ok: { ...draft, book: { ...draft.book, ...part } },
});

type TypedText = Extract<SiteFault, { fault: 'text-empty' }>['what'];

/** A line that somebody typed, freed of blanks at its ends. */
export function typedLine(typed: string, what: TypedText, most: number): Outcome<string> {
  const line = typed.normalize('NFC').trim();
  if (line === '') return refused({ fault: 'text-empty', what });
  if (line.length > most) return refused({ fault: 'text-long', what, most, length: line.length });
  if (!lineSchema(most).safeParse(line).success) return refused({ fault: 'text-form', what });
  return { ok: line };
}

/**
 * What nobody has come back to, for a supervisor to look at, and no record puts right: shoes apart, reviews overdue.
 */
import type { PairState } from './fold/pair-state.ts';
import type { PairId } from './ids.ts';
import type { Instant } from './instant.ts';
import { lastBegun } from './put-right-spells.ts';
import type { RecordOf } from './record/kinds.ts';
import { overdueReviews } from './reminder-wording.ts';
import type { SiteBook, Wording } from './site-book.ts';
import { dayIn } from './whereabouts-promise.ts';

export interface LongParted {
  readonly pair: PairId;
  readonly parted: RecordOf<'parted'>;
}

export interface ToLookAt {
  /** Left and right apart since before the shift. */
  readonly longParted: readonly LongParted[];
  /** Wordings of reminders that were to be reviewed before today. */
  readonly reviews: readonly Wording[];
}

/** The oldest first in each. Between shifts the shift that began last counts; before the site has any, none does. */
export function toLookAt(pairs: Iterable<PairState>, book: SiteBook, now: Instant): ToLookAt {
  const from = lastBegun(book.shifts, now);
  const longParted: LongParted[] = [];
  for (const { pair, parted, closedAt } of pairs) {
    if (parted !== null && closedAt === null && parted.at < from) longParted.push({ pair, parted });
  }
  return {
    longParted: longParted.sort((one, other) => one.parted.at - other.parted.at),
    reviews: overdueReviews(book, dayIn(now, book.timeZone)),
  };
}

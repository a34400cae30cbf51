/**
 * What nobody has come back to, for a supervisor to look at: the records do not say how it ended, so neither does this.
 */
import type { PairState, Spell } from './fold/pair-state.ts';
import { openSpells } from './fold/spells.ts';
import type { PairId } from './ids.ts';
import type { Instant } from './instant.ts';
import type { RecordOf } from './record/kinds.ts';
import { overdueReviews } from './reminder-wording.ts';
import type { Shift, SiteBook, Wording } from './site-book.ts';
import { dayIn } from './whereabouts-promise.ts';

export interface LeftOpen {
  readonly pair: PairId;
  readonly spell: Spell;
}

export interface LongParted {
  readonly pair: PairId;
  readonly parted: RecordOf<'parted'>;
}

export interface ToLookAt {
  /** Clocked in before the shift began and never out: when the work ended is not known. */
  readonly leftOpen: readonly LeftOpen[];
  /** Left and right apart since before the shift. */
  readonly longParted: readonly LongParted[];
  /** Wordings of reminders that were to be reviewed before today. */
  readonly reviews: readonly Wording[];
}

/** The oldest first in each. Between shifts the shift that began last counts; before the site has any, none does. */
export function toLookAt(pairs: Iterable<PairState>, book: SiteBook, now: Instant): ToLookAt {
  const from = lastBegun(book, now)?.from ?? Number.NEGATIVE_INFINITY;
  const leftOpen: LeftOpen[] = [];
  const longParted: LongParted[] = [];
  for (const state of pairs) {
    const { pair, parted, closedAt } = state;
    for (const spell of openSpells(state)) if (spell.from < from) leftOpen.push({ pair, spell });
    if (parted !== null && closedAt === null && parted.at < from) longParted.push({ pair, parted });
  }
  return {
    leftOpen: leftOpen.sort((one, other) => one.spell.from - other.spell.from),
    longParted: longParted.sort((one, other) => one.parted.at - other.parted.at),
    reviews: overdueReviews(book, dayIn(now, book.timeZone)),
  };
}

function lastBegun({ shifts }: SiteBook, now: Instant): Shift | null {
  return shifts.reduce<Shift | null>(
    (last, shift) => (shift.from <= now && shift.from >= (last?.from ?? shift.from) ? shift : last),
    null,
  );
}

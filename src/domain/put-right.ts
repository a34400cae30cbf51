/**
 * What a supervisor has to put right, in one list: work that nobody clocked out, spells that cannot both be so, work out
 * of order, clocks in doubt, tickets that were never logged. Each item says what it is made of and how it can be settled;
 * what has been settled (amended, looked into, taken back) is not in it.
 */
import type { PairState } from './fold/pair-state.ts';
import type { PairId, RecordId } from './ids.ts';
import type { Instant } from './instant.ts';
import { benchDoubts, standing } from './put-right-bench.ts';
import { flagItems } from './put-right-flags.ts';
import type { Found } from './put-right-found.ts';
import { handsAtTwo } from './put-right-overlaps.ts';
import { type Settling, settlingsOf } from './put-right-settlings.ts';
import { endUnknown, lastBegun, leftOpen, noHand } from './put-right-spells.ts';
import { type ShiftTimes, scanIndex } from './put-right-times.ts';
import { outOfOrder } from './put-right-way.ts';
import type { LedgerRecord, PutRightKind } from './record/kinds.ts';
import type { SiteBook } from './site-book.ts';

export interface PutRightItem extends Found {
  readonly settlings: readonly Settling[];
}

/**
 * The oldest first.
 * @param benchRecords records that are about no pair (badges, set-ups), as far as they are at hand
 * @param shifts those around the time in question, with their breaks where they are known
 */
export function toPutRight(
  pairs: Iterable<PairState>,
  benchRecords: readonly LedgerRecord[],
  book: SiteBook,
  shifts: readonly ShiftTimes[],
  now: Instant,
): readonly PutRightItem[] {
  const states = [...pairs];
  const bench = standing(benchRecords);
  const shiftFrom = lastBegun(shifts, now);
  const looked = lookedInto(states, bench);
  const found = [
    ...states.flatMap((state) => ofPair(state, book, shiftFrom)),
    ...handsAtTwo(states, book, { now, shiftFrom }),
    ...benchDoubts(bench),
  ].filter((item) => !looked(item));
  const scans = scanIndex(states, bench);
  return found
    .sort((one, other) => one.since - other.since || (one.of < other.of ? -1 : 1))
    .map((item) => ({ ...item, settlings: settlingsOf(item, scans, { book, shifts, now }) }));
}

interface PairFound {
  readonly book: SiteBook;
  readonly shiftFrom: Instant;
  readonly found: readonly Found[];
}

/** Holding a pair against its route takes the time; of hundreds of pairs one or two change between two looks. */
const known = new WeakMap<PairState, PairFound>();

function ofPair(state: PairState, book: SiteBook, shiftFrom: Instant): readonly Found[] {
  const before = known.get(state);
  if (before?.book === book && before.shiftFrom === shiftFrom) return before.found;
  const found = foundOn(state, book, shiftFrom);
  known.set(state, { book, shiftFrom, found });
  return found;
}

function foundOn(state: PairState, book: SiteBook, shiftFrom: Instant): readonly Found[] {
  return [
    ...leftOpen(state, shiftFrom),
    ...endUnknown(state),
    ...noHand(state),
    ...outOfOrder(state, book),
    ...flagItems(state, book),
  ];
}

/** Whether somebody has looked at the very thing. A pair that was never logged is one matter, whichever record came first. */
function lookedInto(states: readonly PairState[], bench: readonly LedgerRecord[]): (item: Found) => boolean {
  const keys = new Set<string>();
  const add = (pair: PairId | null, what: PutRightKind, of: RecordId) => {
    keys.add(`${what} ${of}`);
    if (what === 'never-logged') keys.add(`${what} ${pair}`);
  };
  for (const { pair, lookedInto: words } of states) for (const { what, of } of words) add(pair, what, of);
  for (const record of bench) if (record.kind === 'looked-into') add(record.pair, record.what, record.of);
  return ({ kind, pair, records }) =>
    records.some((of) => keys.has(`${kind} ${of}`)) ||
    (kind === 'never-logged' && keys.has(`${kind} ${pair}`));
}

/**
 * What a supervisor has to put right, in one list: work that nobody clocked out, spells that cannot both be so, work out
 * of order, clocks in doubt, tickets that were never logged. Each item says what it is made of and how it can be settled;
 * what has been settled (amended, looked into, taken back) is not in it.
 */
import type { PairState } from './fold/pair-state.ts';
import type { PairId } from './ids.ts';
import type { Instant } from './instant.ts';
import { benchDoubts, standing } from './put-right-bench.ts';
import { flagItems } from './put-right-flags.ts';
import type { Found } from './put-right-found.ts';
import { handsAtTwo } from './put-right-overlaps.ts';
import { type Settling, settlingsOf } from './put-right-settlings.ts';
import { endUnknown, lastBegun, leftOpen, noHand } from './put-right-spells.ts';
import { type ShiftTimes, scanIndex } from './put-right-times.ts';
import { outOfOrder } from './put-right-way.ts';
import type { LedgerRecord, RecordOf } from './record/kinds.ts';
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

/**
 * Whether somebody has looked at the very thing, or, under another of its records, at what had come about by then: given
 * other times, of two spells that clash the other is the later one. A pair that was never logged is one matter, whichever
 * record came first.
 */
function lookedInto(states: readonly PairState[], bench: readonly LedgerRecord[]): (item: Found) => boolean {
  const lookedAt = new Map<string, Instant>();
  const add = (pair: PairId | null, { what, of, at }: RecordOf<'looked-into'>) => {
    const keys = [`${what} ${of}`, ...(what === 'never-logged' ? [`${what} ${pair}`] : [])];
    for (const key of keys) lookedAt.set(key, Math.max(at, lookedAt.get(key) ?? at));
  };
  for (const { pair, lookedInto: words } of states) for (const word of words) add(pair, word);
  for (const record of bench) if (record.kind === 'looked-into') add(record.pair, record);
  return ({ kind, pair, of, records, since }) =>
    lookedAt.has(`${kind} ${of}`) ||
    records.some((record) => since <= (lookedAt.get(`${kind} ${record}`) ?? Number.NEGATIVE_INFINITY)) ||
    (kind === 'never-logged' && lookedAt.has(`${kind} ${pair}`));
}

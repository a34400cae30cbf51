/** Which pairs the list shows, and in what order, when nothing is searched for. */
import type { PairState } from '../domain/fold/pair-state.ts';
import type { PairId } from '../domain/ids.ts';

export const KINDS = ['works', 'owner', 'late', 'unlogged', 'out'] as const;
/** In the works; the owner's answer wanted; past the promised day; scanned and never logged; gone out. */
export type ListKind = (typeof KINDS)[number];

/** @param today the site's calendar day */
export function isIn(
  kind: ListKind,
  { closedAt, owner, details, logged }: PairState,
  today: string,
): boolean {
  if (kind === 'out') return closedAt !== null;
  if (closedAt !== null) return false;
  switch (kind) {
    case 'works':
      return true;
    case 'owner':
      return owner.is === 'asked';
    case 'late':
      return details !== null && details.promised < today;
    case 'unlogged':
      return logged === null;
  }
}

export interface Listing {
  readonly counts: Readonly<Record<ListKind, number>>;
  readonly pairs: readonly PairId[];
}

/** What is promised soonest comes first; of what has gone out, the latest. */
export function listingOf(pairs: ReadonlyMap<PairId, PairState>, kind: ListKind, today: string): Listing {
  const counts = { works: 0, owner: 0, late: 0, unlogged: 0, out: 0 };
  const shown: PairState[] = [];
  for (const state of pairs.values()) {
    for (const one of KINDS) if (isIn(one, state, today)) counts[one] += 1;
    if (isIn(kind, state, today)) shown.push(state);
  }
  shown.sort(kind === 'out' ? lastOut : soonest);
  return { counts, pairs: shown.map(({ pair }) => pair) };
}

function soonest(one: PairState, other: PairState): number {
  return compare(one.details?.promised ?? '', other.details?.promised ?? '') || compare(one.pair, other.pair);
}

function lastOut(one: PairState, other: PairState): number {
  return (other.closedAt ?? 0) - (one.closedAt ?? 0) || compare(one.pair, other.pair);
}

const compare = (one: string, other: string): number => (one < other ? -1 : one > other ? 1 : 0);

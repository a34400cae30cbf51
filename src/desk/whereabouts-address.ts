/** The address of one pair: `/desk/where/P7K4292W`. */
import { asPairId, type PairId } from '../domain/ids.ts';
import { pairIdSchema } from '../domain/record/envelope.ts';
import { ADDRESSES } from './address.ts';

export function addressOfPair(pair: PairId | null): string {
  return pair === null ? ADDRESSES.where : `${ADDRESSES.where}/${encodeURIComponent(pair)}`;
}

/** The pair that an address names; null for none, or for what cannot be a ticket. */
export function pairAtAddress(pathname: string): PairId | null {
  const before = `${ADDRESSES.where}/`;
  if (!pathname.startsWith(before)) return null;
  try {
    const named = pairIdSchema.safeParse(decodeURIComponent(pathname.slice(before.length)));
    return named.success ? asPairId(named.data) : null;
  } catch {
    // A stray «%» in an address that somebody typed.
    return null;
  }
}

import type { PairId } from '../../domain/ids.ts';
import { pairShown } from '../../words/desk.ts';
import { addressOfPair } from '../whereabouts-address.ts';
import { DeskLink } from './desk-link.tsx';

/** A pair's number, which leads to its page. */
export function PairLink({ pair }: { readonly pair: PairId }) {
  return <DeskLink href={addressOfPair(pair)}>{pairShown(pair)}</DeskLink>;
}

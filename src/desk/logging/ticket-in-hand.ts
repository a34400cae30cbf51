/** The way from a pair that was scanned and never logged to the page that logs it in, with its number. */
import type { PairId } from '../../domain/ids.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';
import { ADDRESSES } from '../address.ts';

/** `/desk/log?ticket=P7K4292W` */
export function addressToLog(pair: PairId): string {
  return `${ADDRESSES.log}?ticket=${encodeURIComponent(pair)}`;
}

/** The number that an address brings, or null; what cannot be a ticket is none. */
export function ticketInHand(search: string): string | null {
  const read = pairIdSchema.safeParse(new URLSearchParams(search).get('ticket'));
  return read.success ? read.data : null;
}

/** As `ticketInHand`, once: the number leaves the address, so that the next pair does not find it there again. */
export function takeTicketInHand(): string | null {
  const ticket = ticketInHand(location.search);
  if (location.search !== '') history.replaceState(history.state, '', location.pathname);
  return ticket;
}

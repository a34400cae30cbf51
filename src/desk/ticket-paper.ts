/** What a pair's ticket says, from what is known of the pair. */
import type { Details, PairState } from '../domain/fold/pair-state.ts';
import type { PairId } from '../domain/ids.ts';
import type { TicketPaper } from '../paper/ticket.ts';
import { jobNames } from '../words/names.ts';

type OnTicket = Pick<Details, 'job' | 'last' | 'size' | 'fitting' | 'promised'>;

export function ticketPaper(
  pair: PairId,
  { job, last, size, fitting, promised }: OnTicket,
  withThePair: readonly string[],
  second = false,
): TicketPaper {
  return { pair, job: jobNames[job], last, size, fitting, promised, withThePair, second };
}

/** The ticket of a pair that was logged in, as it stands now; null for one that never was. */
export function ticketPaperOf({ pair, details, logged }: PairState, second = false): TicketPaper | null {
  return details === null || logged === null ? null : ticketPaper(pair, details, logged.withPair, second);
}

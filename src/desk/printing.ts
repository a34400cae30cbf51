/** Printing from the desk, with or without a network. What draws the symbols is read in when something is printed. */
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import type { TicketPaper } from '../paper/ticket.ts';

export type { TicketPaper };

/** Opens the browser's print dialog for these. Resolves when it has been asked to; rejects when that failed. */
export type Print = (papers: readonly TicketPaper[]) => Promise<void>;

/**
 * Prints tickets, each with the tags of its two shoes beside it.
 * @param pattern the shape of the site's own ticket numbers, where it prints its own
 * @throws RangeError for a number that no bench would take, or a day that does not exist
 */
export async function printTickets(
  papers: readonly TicketPaper[],
  pattern: TicketPattern | null = null,
): Promise<void> {
  const { printInFrame, ticketSheets } = await import('./print-frame.ts');
  await printInFrame(ticketSheets(papers, pattern));
}

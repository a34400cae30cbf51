/**
 * The shape of a site's own ticket numbers, for a site that prints its own: `#` stands for a digit, `@` for
 * a letter, `?` for either, anything else for itself. It is deliberately no regular expression: a setting
 * must not be able to stop a bench.
 */
import * as z from 'zod/mini';
import { text } from './shapes.ts';

export const TICKET_PATTERN_LENGTH_MAX = 24;

export const ticketPatternSchema = text(3, TICKET_PATTERN_LENGTH_MAX)
  .check(
    z.regex(/^[0-9A-Z#@?/_-]+$/, 'use capitals, digits, - / _ and # @ ? only'),
    z.regex(/^[^/_-]/, 'begins with a capital, a digit or one of # @ ?'), // as a record's pair does
    z.refine((pattern) => /[#@?]/.test(pattern), 'needs at least one #, @ or ?'),
  )
  .brand<'ticket-pattern'>();

export type TicketPattern = z.infer<typeof ticketPatternSchema>;

/** Whether `ticket` has exactly the site's shape. */
export function matchesPattern(pattern: TicketPattern, ticket: string): boolean {
  if (ticket.length !== pattern.length) return false;
  return [...ticket].every((character, index) => {
    switch (pattern.charAt(index)) {
      case '#':
        return /[0-9]/.test(character);
      case '@':
        return /[A-Z]/.test(character);
      case '?':
        return /[0-9A-Z]/.test(character);
      default:
        return pattern.charAt(index) === character;
    }
  });
}

/**
 * The shape of a site's own ticket numbers, for a site that prints its own: `#` stands for a digit, `@` for
 * a letter, `?` for either, anything else for itself. It is deliberately no regular expression: a setting
 * must not be able to stop a bench.
 */
import * as z from 'zod';

export const TICKET_PATTERN_LENGTH_MAX = 24;

export const ticketPatternSchema = z
  .string()
  .min(3)
  .max(TICKET_PATTERN_LENGTH_MAX)
  .regex(/^[0-9A-Z#@?/_-]+$/, 'use capitals, digits, - / _ and # @ ? only')
  .regex(/^[^/_-]/, 'begins with a capital, a digit or one of # @ ?') // as a record's pair does
  .refine((text) => /[#@?]/.test(text), 'needs at least one #, @ or ?')
  .brand<'ticket-pattern'>();

export type TicketPattern = z.infer<typeof ticketPatternSchema>;

/** Whether `text` has exactly the site's shape. */
export function matchesPattern(pattern: TicketPattern, text: string): boolean {
  if (text.length !== pattern.length) return false;
  return [...text].every((character, index) => {
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

/**
 * The shape of a site's own ticket numbers, for a site that prints its own: `#` stands for a digit, `@` for
 * a letter, `?` for either, anything else for itself. It is deliberately no regular expression: a setting
 * must not be able to stop a bench.
 */
import * as z from 'zod/mini';
import { checkCharactersOf } from './check-character.ts';
import { ALPHABET, FORMATS, SHOE_LETTERS } from './own-codes.ts';
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
  return [...ticket].every((character, index) => fits(pattern.charAt(index), character));
}

function fits(place: string, character: string): boolean {
  switch (place) {
    case '#':
      return /[0-9]/.test(character);
    case '@':
      return /[A-Z]/.test(character);
    case '?':
      return /[0-9A-Z]/.test(character);
    default:
      return place === character;
  }
}

/**
 * Whether some text means one thing by the site's shape and another by ours: a ticket, tag, badge, set-up code or
 * rack whose check character holds, or, for a shape that can end in /L or /R, the tag of one shoe. With such a shape
 * a ticket could be taken for somebody's badge, so a site may not set it.
 */
export function clashesWithOurs(pattern: TicketPattern): boolean {
  const letters = Object.keys(SHOE_LETTERS);
  if (pattern.at(-2) === '/' && letters.some((letter) => fits(pattern.slice(-1), letter))) return true;
  return FORMATS.some(({ kind, letter, serialLength }) => {
    const places = [letter, ...Array<string>(serialLength + 1).fill(ALPHABET)];
    return (
      canBe(pattern, places) || (kind === 'ticket' && letters.some((shoe) => canBe(pattern, places, shoe)))
    );
  });
}

/** Whether the shape fits some text of these places, the last of them a check character that holds, and `end`. */
function canBe(pattern: TicketPattern, places: readonly string[], end = ''): boolean {
  if (pattern.length !== places.length + end.length) return false;
  if (end !== '' && !fits(pattern.slice(-1), end)) return false;
  const open = places.map((allowed, index) =>
    [...allowed].filter((one) => fits(pattern.charAt(index), one)).join(''),
  );
  const checks = checkCharactersOf(open.slice(0, -1));
  return [...(open.at(-1) ?? '')].some((check) => checks.has(check));
}

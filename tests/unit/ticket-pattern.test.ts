import { describe, expect, test } from 'vitest';
import { matchesPattern, ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';

const pattern = (text: string) => ticketPatternSchema.parse(text);

describe('a site’s ticket pattern', () => {
  test.each([
    ['R-#####', 'R-00412', true],
    ['R-#####', 'R-0041', false],
    ['R-#####', 'R-004122', false],
    ['R-#####', 'R-0041A', false],
    ['R-#####', 'S-00412', false],
    ['R-#####', 'r-00412', false],
    ['@@/##', 'QZ/07', true],
    ['@@/##', 'Q7/07', false],
    ['???', 'A1Z', true],
    ['???', 'A1-', false],
    // Digits and letters of other scripts are neither.
    ['###', '٣٣٣', false],
    ['@@@', 'ÄÖÜ', false],
    // A character outside the basic plane counts as two, and is still no digit.
    ['###', '1𝟐', false],
    ['R_#', 'R_1', true],
  ])('%s and %j: %s', (shape, text, matches) => {
    expect(matchesPattern(pattern(shape), text)).toBe(matches);
  });

  test.each([
    ['too short', '##'],
    ['too long', '#'.repeat(25)],
    ['a small letter', 'r-###'],
    ['a dot, as of a regular expression', 'R.###'],
    ['nothing that varies', 'R-12345'],
    ['a hyphen first, as no record’s pair begins', '-####'],
    ['a stroke first', '/####'],
    ['nothing', ''],
  ])('is refused: %s', (_, text) => {
    expect(ticketPatternSchema.safeParse(text).success).toBe(false);
  });
});

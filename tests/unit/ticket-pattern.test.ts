import { mod37_36 } from 'cdigit';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ALPHABET } from '../../src/domain/code.ts';
import { clashesWithOurs, matchesPattern, ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';

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

describe('a shape that also fits a code of ours', () => {
  test.each([
    ['????????', true],
    // A ticket of ours may be of letters and digits in any places.
    ['@#@####@', true],
    ['P#######', true],
    ['R#######', true],
    ['W??????????#', true],
    ['H???????????????????', true],
    // A shoe's tag: nine places, the last of them L or R
    ['P#######L', true],
    ['?????????', true],
    ['P#######@', true],
    ['P########', false],
    ['P#######X', false],
    // No letter that begins a code of ours
    ['A#######', false],
    ['########', false],
    ['AB######', false],
    // A letter that no code of ours has
    ['P##O####', false],
    ['P######O', false],
    // None of this length
    ['P######', false],
    ['P-#####-', false],
    ['R-#####', false],
    // One place open, so cdigit's mod37_36 can be asked letter by letter: A gives 0, and none of our letters 1 or 4.
    ['P00000@0', true],
    ['P00000@1', false],
    ['P00000@4', false],
    // The tag of one shoe says it after a stroke.
    ['####/@', true],
    ['####/?', true],
    ['####/R', true],
    ['####/X', false],
    ['####/#', false],
  ])('%s: %s', (shape, clashes) => {
    expect(clashesWithOurs(pattern(shape))).toBe(clashes);
  });

  test('agrees with trying every text of ours that the shape leaves open, by another reckoning of the check', () => {
    const place = fc.constantFrom(...'0123456789', ...ALPHABET, '#', '#');
    const shapes = fc
      .tuple(fc.constantFrom('P', 'R', 'A'), fc.array(place, { minLength: 7, maxLength: 7 }))
      .map(([first, rest]) => first + rest.join(''))
      .filter((shape) => {
        const varied = [...shape].filter((one) => one === '#').length;
        return varied > 0 && varied <= 4;
      });
    const found = { yes: 0, no: 0 };
    fc.assert(
      fc.property(shapes, (shape) => {
        const texts = [...shape].reduce<readonly string[]>(
          (all, one) =>
            all.flatMap((text) => [...(one === '#' ? '0123456789' : one)].map((next) => text + next)),
          [''],
        );
        const ours = texts.some(
          (text) => /^[PR]/.test(text) && mod37_36.compute(text.slice(0, -1)) === text.slice(-1),
        );
        found[ours ? 'yes' : 'no'] += 1;
        expect(clashesWithOurs(pattern(shape)), shape).toBe(ours);
      }),
      { numRuns: 300 },
    );
    expect(Math.min(found.yes, found.no)).toBeGreaterThan(20);
  });
});

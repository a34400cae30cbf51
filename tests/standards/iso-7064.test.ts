/**
 * ISO/IEC 7064 MOD 37,36 against printed examples and against `cdigit`, a library of check digits that others keep.
 * The standard itself was not opened. `cdigit` passes over characters outside the alphabet instead of refusing
 * them, so everything here is matched against 0-9A-Z before `cdigit` is asked.
 */
import { mod37_36 } from 'cdigit';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkCharacter, checkHolds } from '../../src/domain/check-character.ts';
import { issueTicket, LANES } from '../../src/domain/code.ts';

const VALUES = [...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'];
const bodies = fc.string({ unit: fc.constantFrom(...VALUES), minLength: 1, maxLength: 40 });
const tickets = fc
  .tuple(fc.nat(LANES - 1), fc.nat(400_000))
  .map(([lane, counter]): string => issueTicket(lane, counter).pair);

describe('printed examples', () => {
  test.each([
    // IFPI GRid Standard 2.1, the example A1-2425G-ABC1234002-M (as public libraries quote it).
    ['A12425GABC1234002', 'M'],
    // ISO 15706, the sample ISAN 0000-0000-3A8D-0000-Z (from memory).
    ['000000003A8D0000', 'Z'],
    // The same with its version part, 0000-0000-3A8D-0000-Z-0000-0000-6 (from memory).
    ['000000003A8D000000000000', '6'],
    // ISO 15706-2, the sample ISAN 1881-66C7-3420-6541-Y (from memory).
    ['188166C734206541', 'Y'],
  ])('%s takes %s', (body, check) => {
    expect(checkCharacter(body)).toBe(check);
    expect(checkHolds(body + check)).toBe(true);
  });
});

describe('against cdigit', () => {
  test('every body has the same check character', () => {
    fc.assert(
      fc.property(bodies, (body) => {
        expect(checkCharacter(body)).toBe(mod37_36.compute(body));
      }),
      { numRuns: 2000 },
    );
  });

  test('every text of two characters and more holds or does not hold alike', () => {
    fc.assert(
      fc.property(bodies, fc.constantFrom(...VALUES), (body, last) => {
        expect(checkHolds(body + last)).toBe(mod37_36.validate(body + last));
      }),
      { numRuns: 2000 },
    );
  });

  test('small letters, blanks and * are refused where cdigit passes over them', () => {
    expect(mod37_36.compute('a12425gabc1234002')).toBe(mod37_36.compute('124251234002'));
    for (const body of ['a12425gabc1234002', 'A1 2425G', 'A1-2425G', 'A1*2425G', 'Ä', '٣']) {
      expect(() => checkCharacter(body)).toThrow(RangeError);
    }
  });
});

/** The promise of the standard that a ticket leans on. */
test('every single wrong character in a ticket is found', () => {
  fc.assert(
    fc.property(tickets, (ticket) => {
      for (const [index, right] of [...ticket].entries()) {
        for (const wrong of VALUES.filter((value) => value !== right)) {
          const misread = ticket.slice(0, index) + wrong + ticket.slice(index + 1);
          expect(checkHolds(misread), misread).toBe(false);
        }
      }
    }),
    { numRuns: 60 },
  );
});

/** What the standard does not promise for this system; were it otherwise, the screens could ask less. */
test.each([
  ['P25JFXW8', 'P25JFWX8'],
  ['P8XN21V4', 'P8XN12V4'],
  ['P569N6EK', 'P659N6EK'],
])('a few swaps of neighbours pass by the nature of the system: %s and %s', (one, other) => {
  expect([checkHolds(one), checkHolds(other)]).toEqual([true, true]);
  expect([mod37_36.validate(one), mod37_36.validate(other)]).toEqual([true, true]);
});

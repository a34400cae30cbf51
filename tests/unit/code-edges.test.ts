/** Codes at the edges of their grammar: lengths, letters that another reading would take, bytes that are passed over. */
import { describe, expect, test } from 'vitest';
import { checkCharacter } from '../../src/domain/check-character.ts';
import { ALPHABET, classify, issueTicket, issueToken, SCAN_LENGTH_MAX } from '../../src/domain/code.ts';
import { ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';
import { RACK } from '../support/builders.ts';

test('a text as long as one may be is read, a longer one is not', () => {
  const why = (length: number) => {
    const code = classify('x'.repeat(length), 'camera');
    return code.kind === 'foreign' ? code.why : code.kind;
  };
  expect([why(SCAN_LENGTH_MAX), why(SCAN_LENGTH_MAX + 1)]).toEqual(['not-ours', 'too-long']);
});

test('a shoe’s tag whose number has a letter that is never issued is damaged, though its check holds', () => {
  const body = 'PO00000';
  const number = body + checkCharacter(body);
  expect(ALPHABET).not.toContain('O');
  expect(classify(`${number}L`, 'camera')).toMatchObject({ kind: 'damaged', why: 'length' });
});

test('what kind of code it is stands beyond doubt: its first letter is not among what is compared', () => {
  const code = classify(`P${RACK.slice(1)}`, 'camera');
  if (code.kind !== 'damaged') throw new Error(code.kind);
  expect(code).toMatchObject({ looksLike: 'ticket', why: 'check' });
  expect(code.compare.filter(({ position }) => position === 1)).toEqual([]);
});

test('a lane ends with its last number and does not begin again', () => {
  expect(() => issueTicket(0, ALPHABET.length ** 4)).toThrow('used up');
});

test.each([234, 235, 255])(
  'a random byte of %d is passed over, so that every character is as likely',
  (byte) => {
    const plain = Array.from({ length: 6 }, (_, index) => index + 1);
    const rack = (...random: readonly number[]) => issueToken('rack', Uint8Array.from(random));
    expect(rack(...plain)).toMatch(/^R/);
    expect(rack(byte, ...plain)).toBe(rack(...plain));
    expect(rack(233, ...plain)).not.toBe(rack(...plain));
  },
);

describe('at a site with ticket numbers of its own', () => {
  const pattern = ticketPatternSchema.parse('R-#####');

  test.each([
    ['R-00412/L', 'ticket'],
    ['R-00412/LR', 'foreign'],
    ['R-00412/L ', 'foreign'],
    // A line separator is no control character, and no part of a number.
    ['note\u2028R-00412/L', 'foreign'],
  ])('%j is %s', (text, kind) => {
    expect(classify(text, 'camera', pattern).kind).toBe(kind);
  });
});

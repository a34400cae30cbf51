import { describe, expect, test } from 'vitest';
import { checkCharacter, checkHolds } from '../../src/domain/check-character.ts';

describe('checkHolds', () => {
  test.each([
    ['P7K4292W', true],
    ['P7K4292M', false],
    ['00', false],
    ['02', true],
    // A check character alone protects nothing.
    ['', false],
    ['W', false],
  ])('%j: %s', (text, holds) => {
    expect(checkHolds(text)).toBe(holds);
  });

  test('a text outside 0-9A-Z is the caller’s mistake and is said so', () => {
    expect(() => checkHolds('P7K4 92W')).toThrow('no value in ISO/IEC 7064 MOD 37,36 for " "');
    expect(() => checkHolds('p7k4292w')).toThrow(RangeError);
  });
});

test('every one of the 36 characters comes up as a check character', () => {
  const found = new Set(Array.from({ length: 1296 }, (_, n) => checkCharacter(n.toString(36).toUpperCase())));
  expect([...found].toSorted().join('')).toBe('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ');
});

import { expect, test } from 'vitest';
import { checkCharacter, checkHolds } from '../../src/domain/check-character.ts';

test('the one character that checks nothing at all is no code either', () => {
  expect(checkCharacter('')).toBe('1');
  expect(checkHolds('1')).toBe(false);
});

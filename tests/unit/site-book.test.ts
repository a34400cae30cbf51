import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { asOperativeId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { codeHash, holderOf, nameOf, shiftAt, siteBookSchema } from '../../src/domain/site-book.ts';
import { INES, MONDAY_8, siteBook, TOKEN_OF_INES } from '../support/builders.ts';

describe('codeHash', () => {
  test('is SHA-256: the example «abc» of FIPS 180-4 (from memory)', () => {
    expect(codeHash('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });

  test.each(['', 'H789ACEFHJKMNPRTVWX8', 'Größe', 'x'.repeat(200)])('%j is as Node hashes it', (text) => {
    expect(codeHash(text)).toBe(createHash('sha256').update(text, 'utf8').digest('hex'));
  });
});

describe('the holder of a badge', () => {
  test('is found by the badge’s text, which the book does not hold', () => {
    const book = siteBook();
    expect(holderOf(book, TOKEN_OF_INES)).toBe(INES);
    expect(JSON.stringify(book)).not.toContain(TOKEN_OF_INES);
  });

  test('is nobody for a badge withdrawn or never given', () => {
    expect(holderOf(siteBook({ badges: [] }), TOKEN_OF_INES)).toBeNull();
    expect(holderOf(siteBook(), `${TOKEN_OF_INES} `)).toBeNull();
  });
});

describe('nameOf', () => {
  test.each([
    ['an operative in the book', INES, 'Ines Okafor'],
    ['one whose name was erased', asOperativeId('op-gone'), null],
    ['nobody', null, null],
  ])('%s', (_, operative, name) => {
    expect(nameOf(siteBook(), operative)).toBe(name);
  });
});

describe('shiftAt', () => {
  const early = { name: 'Early', from: MONDAY_8, to: MONDAY_8 + 8 * HOUR_MS };
  const late = { name: 'Late', from: early.to, to: early.to + 8 * HOUR_MS };
  const book = siteBook({ shifts: [early, late] });

  test.each([
    ['before the first', MONDAY_8 - 1, null],
    ['at its first millisecond', MONDAY_8, early],
    ['at its last', early.to - 1, early],
    ['where one ends the next begins', early.to, late],
    ['after the last', late.to, null],
  ])('%s', (_, now, shift) => {
    expect(shiftAt(book, now)).toEqual(shift);
  });
});

describe('the book’s schema', () => {
  test.each([
    ['a badge in clear text', { badges: [{ hash: TOKEN_OF_INES, operative: INES }] }],
    ['a role that there is not', { operatives: [{ id: INES, name: 'Ines', role: 'owner' }] }],
    ['a name of two lines', { name: 'Aldermoor\nBench' }],
    ['an empty name', { name: '' }],
    ['a version below 1', { version: 0 }],
    ['a stage code in small letters', { closingStage: 'dsp' }],
  ])('refuses %s', (_, told) => {
    expect(siteBookSchema.safeParse({ ...siteBook(), ...told }).success).toBe(false);
  });
});

import { describe, expect, test } from 'vitest';
import { UUID_RANDOM_BYTES, uuidv7 } from '../../src/domain/uuid.ts';

const zeros = new Uint8Array(UUID_RANDOM_BYTES);
const ones = zeros.map(() => 0xff);

describe('uuidv7', () => {
  test.each([
    [0, zeros, '00000000-0000-7000-8000-000000000000'],
    [2 ** 48 - 1, ones, 'ffffffff-ffff-7fff-bfff-ffffffffffff'],
    [1, zeros, '00000000-0001-7000-8000-000000000000'],
  ])('at %d ms', (unixMs, random, id) => {
    expect(uuidv7(unixMs, random)).toBe(id);
  });

  test.each([-1, 2 ** 48, 0.5, Number.NaN, Number.POSITIVE_INFINITY])('%d ms fits no UUIDv7', (unixMs) => {
    expect(() => uuidv7(unixMs, zeros)).toThrow('48 bits of milliseconds');
  });

  test.each([0, 9, 11, 16])('%d random bytes are not ten', (length) => {
    expect(() => uuidv7(0, new Uint8Array(length))).toThrow('takes 10 random bytes');
  });

  test('leaves the random bytes as they were', () => {
    const random = ones.slice();
    uuidv7(0, random);
    expect(random).toEqual(ones);
  });
});

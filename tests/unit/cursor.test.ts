import { expect, test } from 'vitest';
import { CURSOR_START, cursorAt, cursorSchema, placeOf } from '../../src/domain/cursor.ts';

const reads = (text: string) => cursorSchema.safeParse(text).success;

test('before anything was read there is no place', () => {
  expect(placeOf(CURSOR_START)).toBeNull();
  expect(reads(CURSOR_START)).toBe(true);
});

test.each([
  { epoch: '0a1b2c3d', pos: 0 },
  { epoch: '0a1b2c3d', pos: 1 },
  { epoch: 'f'.repeat(32), pos: 999_999_999_999_999 },
])('a cursor at $epoch $pos is read back as it was', (place) => {
  expect(placeOf(cursorAt(place))).toEqual(place);
  expect(reads(cursorAt(place))).toBe(true);
});

test.each(['0a1b2c3', '0a1b2c3d', '0a1b2c3d.', '.7', '0A1B2C3D.7', '0a1b2c3d.-1', '0a1b2c3d.1.2', ' '])(
  '%j is no cursor',
  (text) => {
    expect(reads(text)).toBe(false);
  },
);

/** UUIDv7 against RFC 9562 (May 2024) and against `uuid`, the library that most others use. */
import fc from 'fast-check';
import { parse, v7, validate, version } from 'uuid';
import { describe, expect, test } from 'vitest';
import { recordIdSchema } from '../../src/domain/record/envelope.ts';
import { uuidv7 } from '../../src/domain/uuid.ts';

const instants = fc.oneof(fc.integer({ min: 0, max: 2 ** 48 - 1 }), fc.constantFrom(0, 1, 2 ** 48 - 1));
const tenBytes = fc.uint8Array({ minLength: 10, maxLength: 10 });

test('RFC 9562, appendix A.6: the example of 2022-02-22T14:22:22-05:00', () => {
  const unixMs = Date.parse('2022-02-22T14:22:22-05:00');
  expect(unixMs).toBe(0x017f22e279b0);
  // rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F; the topmost bits are the version's and the variant's.
  const random = Uint8Array.of(0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f);
  expect(uuidv7(unixMs, random).toUpperCase()).toBe('017F22E2-79B0-7CC3-98C4-DC0C0C07398F');
});

describe('against the library uuid', () => {
  test('the same milliseconds and random bits give the same id', () => {
    fc.assert(
      fc.property(instants, tenBytes, (msecs, random) => {
        expect(uuidv7(msecs, random)).toBe(v7({ msecs, ...inTheirForm(random) }));
      }),
      { numRuns: 500 },
    );
  });

  test('every id is a UUID of version 7, and a record may carry it', () => {
    fc.assert(
      fc.property(instants, tenBytes, (unixMs, random) => {
        const id = uuidv7(unixMs, random);
        expect([validate(id), version(id), recordIdSchema.safeParse(id).success]).toEqual([true, 7, true]);
      }),
    );
  });

  test('the ids of other makers are read as well', () => {
    fc.assert(
      fc.property(instants, fc.uint8Array({ minLength: 16, maxLength: 16 }), (msecs, random) => {
        expect(recordIdSchema.safeParse(v7({ msecs, random })).success).toBe(true);
      }),
    );
  });
});

test('the text order of two ids is the order of their milliseconds (RFC 9562, section 6.11)', () => {
  fc.assert(
    fc.property(instants, instants, tenBytes, tenBytes, (a, b, randomA, randomB) => {
      fc.pre(a !== b);
      expect(uuidv7(a, randomA) < uuidv7(b, randomB)).toBe(a < b);
    }),
  );
});

test('the 74 random bits are all kept, and only they differ', () => {
  fc.assert(
    fc.property(instants, tenBytes, (unixMs, random) => {
      const bytes = parse(uuidv7(unixMs, random));
      const kept = [...bytes.slice(6)];
      const mask = [0x0f, 0xff, 0x3f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff];
      expect(kept.map((byte, index) => byte & (mask[index] ?? 0))).toEqual(
        [...random].map((byte, index) => byte & (mask[index] ?? 0)),
      );
    }),
  );
});

/** Of the 74 bits the library takes the first 32 as a sequence, and the other 42 at the end of sixteen bytes. */
function inTheirForm(ten: Uint8Array): { readonly seq: number; readonly random: Uint8Array } {
  const at = (index: number) => ten[index] ?? 0;
  const bits = [at(0) & 0x0f, at(1), at(2) & 0x3f, at(3), at(4) >> 2];
  const [a, b, c, d, e] = bits.map(BigInt) as [bigint, bigint, bigint, bigint, bigint];
  const seq = Number((a << 28n) | (b << 20n) | (c << 14n) | (d << 6n) | e);
  return { seq, random: Uint8Array.of(...new Uint8Array(10), ...ten.slice(4)) };
}

import { asRecordId, type RecordId } from './ids.ts';

/** How many random bytes a UUIDv7 takes. */
export const UUID_RANDOM_BYTES = 10;

/**
 * A UUIDv7 (RFC 9562, section 5.7) from an instant and ten random bytes, both given by the caller.
 * Text order is time order to the millisecond.
 * @param unixMs milliseconds since 1970-01-01T00:00Z, 0 to 2^48 - 1
 * @throws RangeError when the instant or the number of random bytes does not fit
 */
export function uuidv7(unixMs: number, random: Uint8Array): RecordId {
  if (!Number.isInteger(unixMs) || unixMs < 0 || unixMs >= 2 ** 48) {
    throw new RangeError(`a UUIDv7 holds 48 bits of milliseconds, not ${unixMs}`);
  }
  if (random.length !== UUID_RANDOM_BYTES) {
    throw new RangeError(`a UUIDv7 takes ${UUID_RANDOM_BYTES} random bytes, not ${random.length}`);
  }
  const time = unixMs.toString(16).padStart(12, '0');
  const bytes = Array.from(random, (byte, index) => {
    if (index === 0) return (byte & 0x0f) | 0x70; // version 7
    if (index === 2) return (byte & 0x3f) | 0x80; // variant 10
    return byte;
  });
  const tail = bytes.map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return asRecordId(
    `${time.slice(0, 8)}-${time.slice(8)}-${tail.slice(0, 4)}-${tail.slice(4, 8)}-${tail.slice(8)}`,
  );
}

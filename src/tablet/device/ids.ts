/** New ids for records, from the tablet's clock and its generator of random bytes. */
import type { RecordId } from '../../domain/ids.ts';
import { UUID_RANDOM_BYTES, uuidv7 } from '../../domain/uuid.ts';

const LATEST_MS = 2 ** 48 - 1;

/** @param now milliseconds since 1970 by the tablet; a clock set to nonsense must not stop a bench */
export function newRecordId(now: () => number = Date.now): RecordId {
  const ms = Math.min(Math.max(Math.trunc(now()), 0), LATEST_MS);
  return uuidv7(ms, crypto.getRandomValues(new Uint8Array(UUID_RANDOM_BYTES)));
}

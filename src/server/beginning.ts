/** Where a reader of the ledger goes on from the cursor that it was given. */
import { placeOf } from '../domain/cursor.ts';
import type { Cursor } from '../domain/ids.ts';
import type { Standing } from './ledger/ledger.ts';

/**
 * Where reading goes on. A cursor of another epoch is void; so is one beyond the head, which only a ledger that was
 * put back without a new epoch can meet.
 */
export function beginning(cursor: Cursor, { epoch, head }: Standing): { after: number; fromStart: boolean } {
  const place = placeOf(cursor);
  if (place === null) return { after: 0, fromStart: false };
  if (place.epoch !== epoch || place.pos > head) return { after: 0, fromStart: true };
  return { after: place.pos, fromStart: false };
}

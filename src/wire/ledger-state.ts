import * as z from 'zod/mini';
import { cursorSchema } from '../domain/cursor.ts';
import { text, whole } from '../domain/shapes.ts';
import { serverClockSchema } from './clock.ts';

/** What every answer of the server says about its ledger. */
export const ledgerStateSchema = z.object({
  /** Which body of data this is; another one means another server, and nothing is sent to it. */
  dataset: text(8, 64),
  /** New after a restore from a backup: cursors of an older epoch are void. */
  epoch: text(8, 32),
  head: cursorSchema,
  /** Version of the site's book. */
  book: whole(1),
  /** The highest `seq` that the server holds of the asking bench, 0 for none. */
  heldSeq: whole(0),
  clock: serverClockSchema,
});
export type LedgerState = z.infer<typeof ledgerStateSchema>;

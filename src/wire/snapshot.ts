/**
 * How a new tablet gets what it needs without reading all history, and one pair whole.
 *
 * GET /api/snapshot                        the first page
 * GET /api/snapshot?at=CURSOR&after=PAIR   the next one of the same snapshot
 * GET /api/pair/PAIR
 *
 * A snapshot holds the records of the pairs in the works and of those touched lately, and of machines, as they stood
 * at one position. What is older is fetched pair by pair when somebody asks for it.
 */
import * as z from 'zod/mini';
import { cursorSchema } from '../domain/cursor.ts';
import { pairIdSchema } from '../domain/record/envelope.ts';
import { whole } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

/** Raw, as their tablets made them, each with its position. */
const recordsSchema = z.array(z.object({ pos: whole(1), record: z.unknown() }));

export const snapshotQuerySchema = z.union([
  z.object({ at: cursorSchema, after: pairIdSchema }),
  z.object({ at: z.optional(z.undefined()), after: z.optional(z.undefined()) }),
]);

export const snapshotAnswerSchema = z.object({
  state: ledgerStateSchema,
  /**
   * Where the snapshot stands, and where pulling goes on after its last page. Another one than was asked for: the
   * epoch has changed, and this is the first page of a new snapshot.
   */
  at: cursorSchema,
  records: recordsSchema,
  /** The last pair of this page, to go on after; null on the last page. Every pair stands whole on one page. */
  next: z.nullable(pairIdSchema),
});
export type SnapshotAnswer = z.infer<typeof snapshotAnswerSchema>;

export const pairAnswerSchema = z.object({
  state: ledgerStateSchema,
  /** All that the ledger holds of the pair; none where it holds nothing. */
  records: recordsSchema,
});
export type PairAnswer = z.infer<typeof pairAnswerSchema>;

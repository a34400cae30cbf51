/** GET /api/pull?after=CURSOR&limit=N: everybody's records, in the order in which the server got them. */
import * as z from 'zod/mini';
import { CURSOR_START, cursorSchema } from '../domain/cursor.ts';
import { whole } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const PULL_RECORDS_MAX = 1000;

export const pullQuerySchema = z.object({
  after: z._default(cursorSchema, CURSOR_START),
  limit: z._default(z.coerce.number().check(z.int(), z.minimum(1), z.maximum(PULL_RECORDS_MAX)), 500),
});

export const pullAnswerSchema = z.object({
  state: ledgerStateSchema,
  /** Raw, as their tablets made them: a newer tablet's fields pass through. */
  records: z.array(z.object({ pos: whole(1), record: z.unknown() })),
  /** Where to go on. */
  cursor: cursorSchema,
  more: z.boolean(),
  /** The asked cursor belongs to another epoch: reading began anew from the start. */
  fromStart: z.boolean(),
});
export type PullAnswer = z.infer<typeof pullAnswerSchema>;

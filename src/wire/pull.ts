/** GET /api/pull?after=CURSOR&limit=N: everybody's records, in the order in which the server got them. */
import * as z from 'zod';
import { cursorSchema } from '../domain/cursor.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const PULL_RECORDS_MAX = 1000;

export const pullQuerySchema = z.object({
  after: cursorSchema.default('' as never),
  limit: z.coerce.number().int().min(1).max(PULL_RECORDS_MAX).default(500),
});

export const pullAnswerSchema = z.object({
  state: ledgerStateSchema,
  /** Raw, as their tablets made them: a newer tablet's fields pass through. */
  records: z.array(z.object({ pos: z.int().min(1), record: z.unknown() })),
  /** Where to go on. */
  cursor: cursorSchema,
  more: z.boolean(),
  /** The asked cursor belongs to another epoch: reading began anew from the start. */
  fromStart: z.boolean(),
});
export type PullAnswer = z.infer<typeof pullAnswerSchema>;

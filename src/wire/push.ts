/** POST /api/push: records go to the server in batches, and again if the answer was lost. */
import * as z from 'zod/mini';
import { listOf, whole } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const PUSH_RECORDS_MAX = 200;
export const PUSH_BYTES_MAX = 256 * 1024;
/** One record is a few hundred bytes; one above this is refused by itself. */
export const RECORD_BYTES_MAX = 16 * 1024;

/** Each record is read on its own, so that one bad one does not stop the others. */
export const pushSchema = z.object({ records: listOf(z.unknown(), PUSH_RECORDS_MAX, 1) });

/** `had`: the server holds the very same record already. Both `stored` and `had` are confirmations. */
export const pushAnswerSchema = z.object({
  state: ledgerStateSchema,
  answers: z.array(
    z.object({
      /** The record's id, null where it had none that could be read; `index` always tells which it was. */
      id: z.nullable(z.string()),
      index: whole(0),
      answer: z.enum(['stored', 'had', 'refused']),
      reasons: z.array(z.string()),
    }),
  ),
});
export type PushAnswer = z.infer<typeof pushAnswerSchema>;

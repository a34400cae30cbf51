/** GET /api/desk/now: the shift as it stands, for the desk's live page. */
import * as z from 'zod/mini';
import { instantSchema } from '../domain/instant.ts';
import {
  benchIdSchema,
  operativeIdSchema,
  pairIdSchema,
  recordIdSchema,
  stageCodeSchema,
} from '../domain/record/envelope.ts';
import { listOf, whole } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const deskNowSchema = z.object({
  state: ledgerStateSchema,
  shift: z.nullable(z.object({ name: z.string(), from: instantSchema, to: instantSchema })),
  stages: z.array(
    z.object({
      stage: stageCodeSchema,
      name: z.string(),
      /** Pairs clocked in and finished in this shift, and spells open now. */
      pairsIn: whole(0),
      pairsOut: whole(0),
      openNow: whole(0),
    }),
  ),
  open: z.array(
    z.object({
      spell: recordIdSchema,
      pair: pairIdSchema,
      stage: stageCodeSchema,
      bench: benchIdSchema,
      benchName: z.string(),
      by: z.nullable(operativeIdSchema),
      byName: z.nullable(z.string()),
      since: instantSchema,
    }),
  ),
  pairsOpen: whole(0),
  /** Tickets scanned that were never logged, clocks in doubt, and the like, with how many pairs show each. */
  flags: z.array(z.object({ flag: z.string(), pairs: whole(1), examples: listOf(pairIdSchema, 5) })),
});
export type DeskNow = z.infer<typeof deskNowSchema>;

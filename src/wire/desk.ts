/** GET /api/desk/now: the shift as it stands, for the desk's live page. */
import * as z from 'zod';
import { instantSchema } from '../domain/instant.ts';
import {
  benchIdSchema,
  operativeIdSchema,
  pairIdSchema,
  recordIdSchema,
  stageCodeSchema,
} from '../domain/record/envelope.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const deskNowSchema = z.object({
  state: ledgerStateSchema,
  shift: z.object({ name: z.string(), from: instantSchema, to: instantSchema }).nullable(),
  stages: z.array(
    z.object({
      stage: stageCodeSchema,
      name: z.string(),
      /** Pairs clocked in and finished in this shift, and spells open now. */
      pairsIn: z.int().min(0),
      pairsOut: z.int().min(0),
      openNow: z.int().min(0),
    }),
  ),
  open: z.array(
    z.object({
      spell: recordIdSchema,
      pair: pairIdSchema,
      stage: stageCodeSchema,
      bench: benchIdSchema,
      benchName: z.string(),
      by: operativeIdSchema.nullable(),
      byName: z.string().nullable(),
      since: instantSchema,
    }),
  ),
  pairsOpen: z.int().min(0),
  /** Tickets scanned that were never logged, clocks in doubt, and the like, with how many pairs show each. */
  flags: z.array(
    z.object({ flag: z.string(), pairs: z.int().min(1), examples: z.array(pairIdSchema).max(5) }),
  ),
});
export type DeskNow = z.infer<typeof deskNowSchema>;

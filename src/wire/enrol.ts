/** POST /api/enrol: a tablet or desk shows a set-up code and gets an identity and a key of its own. */
import * as z from 'zod/mini';
import { benchIdSchema, lineSchema, siteIdSchema, stageCodeSchema } from '../domain/record/envelope.ts';
import { listOf, text, whole, written } from '../domain/shapes.ts';
import { siteBookSchema } from '../domain/site-book.ts';

export const enrolSchema = z.object({
  token: text(1, 64),
  /** The browser's answer to asking for lasting storage, kept for the supervisor; null where it cannot say. */
  persisted: z.nullable(z.boolean()),
});

/** A bench books work; a desk reads figures and writes no clock-ins of its own. */
export const PLACES = ['bench', 'desk'] as const;

export const enrolAnswerSchema = z.object({
  site: siteIdSchema,
  dataset: text(8, 64),
  bench: benchIdSchema,
  place: z.enum(PLACES),
  name: lineSchema(60),
  stages: listOf(stageCodeSchema, 12),
  /** For issuing ticket numbers with no network: no other tablet has this lane. */
  lane: whole(0),
  /** Sent as `Authorization: Bearer`; the server keeps only its hash. */
  key: written(/^[0-9a-f]{64}$/, 'has another form'),
  book: siteBookSchema,
});
export type EnrolAnswer = z.infer<typeof enrolAnswerSchema>;

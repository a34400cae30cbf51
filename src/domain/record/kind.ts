/** What the schemas of all kinds are made with: the envelope, and the few sets of words that several kinds use. */
import * as z from 'zod/mini';
import { listOf, written } from '../shapes.ts';
import { envelopeSchema, lineSchema, recordIdSchema, stageCodeSchema } from './envelope.ts';

export const kind = <Name extends string, Shape extends z.core.$ZodShape>(name: Name, shape: Shape) =>
  z.extend(envelopeSchema, { kind: z.literal(name), ...shape });

export const SHOES = ['left', 'right', 'both'] as const;
export type Shoe = (typeof SHOES)[number];
export const SIDES = ['left', 'right'] as const;
/** One shoe of the pair. */
export type OneShoe = (typeof SIDES)[number];
export const WEIGHTS = ['mind', 'mend', 'ask', 'stop'] as const;
export type Weight = (typeof WEIGHTS)[number];
export const JOBS = ['HL', 'HF', 'LG', 'RS', 'FB'] as const;
export type Job = (typeof JOBS)[number];

/** A calendar day of the site, `2026-12-10`. */
export const daySchema = z.iso.date();

/** Why something was done, in a line. */
export const whySchema = lineSchema(200);

/** A rack's code, as `code.ts` reads it. */
export const rackSchema = written(/^R[0-9A-Z]{7}$/, 'is no rack');

/** A pair of lasts: number, size and fitting, as the office writes them. */
export const lastSchema = lineSchema(60);

export const stagesSchema = listOf(stageCodeSchema, 64);

/**
 * A field that a kind got later: older records are read with what it then stood for. A tablet that does not know it
 * keeps it in the raw record all the same.
 */
export const since = <Schema extends z.ZodMiniType>(
  schema: Schema,
  before: z.core.util.NoUndefined<z.output<Schema>>,
) => z._default(schema, before);

export const noteIdOrNull = since(z.nullable(recordIdSchema), null);

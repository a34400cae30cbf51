/** Why a change to the site's book cannot stand: a closed set, put into words in `src/words/site-faults.ts`. */
import * as z from 'zod/mini';
import { operativeIdSchema, stageCodeSchema } from './record/envelope.ts';
import { JOBS } from './record/kind.ts';
import { listOf, whole } from './shapes.ts';
import { waysSchema } from './site-book.ts';

const of = <Name extends string, Shape extends z.core.$ZodShape>(name: Name, shape: Shape) =>
  z.object({ fault: z.literal(name), ...shape });

const stage = stageCodeSchema;
const way = z.keyof(waysSchema);
/** Whose text it is that does not stand. */
const what = z.enum(['stage', 'plain', 'rack', 'reminder', 'author']);

export const siteFaultSchema = z.discriminatedUnion('fault', [
  /** Each waits for the next, and the last for the first. */
  of('ring', { stages: listOf(stage, 64, 1) }),
  of('needs-unknown', { stage, needs: stage }),
  of('stage-unknown', { stage }),
  /** It stands on the stage that closes the pair, so it can never become due. */
  of('after-closing', { stage, closing: stage, job: z.enum(JOBS) }),
  of('no-job-takes', { stage }),
  /** The stage that closes a pair must be done on every job. */
  of('closing', { stage }),
  of('open-pairs', { stage, pairs: whole(1) }),
  of('code-taken', { stage }),
  of('code-form', { code: z.string() }),
  of('text-empty', { what }),
  of('text-long', { what, most: whole(1), length: whole(1) }),
  of('text-form', { what }),
  of('name-taken', { name: z.string() }),
  of('wait', { least: whole(0), most: whole(0) }),
  of('wait-long', { days: whole(1) }),
  /** The stage has this part in a pair's way: another has to take it over first. */
  of('has-way', { stage, way }),
  of('way-unknown', { stage, way }),
  of('lasts-half', {}),
  of('lasts-order', { from: stage, to: stage }),
  of('reminder-unknown', { line: z.string() }),
  of('claims-safety', { words: z.string() }),
  of('review-past', { review: z.string(), today: z.string() }),
  of('operative-unknown', { operative: operativeIdSchema }),
  of('no-machine', { stage }),
  of('rack-unknown', { rack: z.string() }),
  of('rack-taken', { rack: z.string() }),
  of('rack-form', { rack: z.string() }),
  of('too-many', { what: z.enum(['stages', 'needs', 'racks', 'wordings', 'versions']), most: whole(1) }),
]);

export type SiteFault = z.infer<typeof siteFaultSchema>;

/**
 * Everything that a site can change of its own book at its desk: a closed set. What somebody typed comes in as it
 * was typed, so that a name too long is answered in plain words and not as a request that does not read.
 */
import * as z from 'zod/mini';
import { operativeIdSchema, stageCodeSchema } from './record/envelope.ts';
import { daySchema, JOBS, rackSchema } from './record/kind.ts';
import { listOf, text, whole } from './shapes.ts';
import { personalSchema, waysSchema } from './site-book.ts';
import type { StepNeed } from './site-routes.ts';

export const STEP_NEEDS = ['always', 'if-needed', 'never'] as const satisfies readonly StepNeed[];

const of = <Name extends string, Shape extends z.core.$ZodShape>(name: Name, shape: Shape) =>
  z.object({ change: z.literal(name), ...shape });

const typed = text(0, 200);
const stage = stageCodeSchema;
const stepNeedSchema = z.enum(STEP_NEEDS);

export const siteChangeSchema = z.discriminatedUnion('change', [
  of('name-stage', { stage, name: typed, plain: typed }),
  /** The wait after the stage, in minutes. */
  of('settle-stage', { stage, settles: z.nullable(z.object({ least: whole(0), most: whole(0) })) }),
  of('machine-stage', { stage, machine: z.boolean() }),
  of('take-stage', { stage, job: z.enum(JOBS), need: stepNeedSchema }),
  /** Its place in the usual order: before another stage, or last. */
  of('move-stage', { stage, before: z.nullable(stage) }),
  of('add-stage', {
    code: typed,
    name: typed,
    plain: typed,
    before: z.nullable(stage),
    /** In the order of `JOBS`. */
    takes: listOf(stepNeedSchema, JOBS.length, JOBS.length),
    needs: listOf(stage, 64),
  }),
  /** What it needed is handed on to the stages that needed it. */
  of('remove-stage', { stage }),
  of('bring-back-stage', { stage }),
  /** Null takes the need away. */
  of('need', { stage, needs: stage, kind: z.nullable(z.enum(['hard', 'usual'])) }),
  of('set-ways', { ways: waysSchema }),
  of('word-reminder', { line: typed, text: typed, by: typed, review: daySchema }),
  of('switch-off-reminder', { line: typed, by: typed, review: daySchema }),
  /** Back to the catalogue's words. */
  of('restore-reminder', { line: typed }),
  of('release', { operative: operativeIdSchema, stage, released: z.boolean() }),
  /** Whether the site keeps a list for this hand; without one the hand may run every machine. */
  of('release-list', { operative: operativeIdSchema, kept: z.boolean() }),
  /** Figures about single persons: whether there are any, and for how many days they are shown. */
  of('personal', { personal: personalSchema }),
  of('add-rack', { rack: rackSchema, name: typed }),
  of('name-rack', { rack: rackSchema, name: typed }),
  of('remove-rack', { rack: rackSchema }),
]);

export type SiteChange = z.infer<typeof siteChangeSchema>;
export type ChangeOf<Kind extends SiteChange['change']> = Extract<SiteChange, { change: Kind }>;

/** What happens at a bench that is about no pair: who is on, what it is set to, what its machine is fit for. */
import * as z from 'zod/mini';
import { listOf, whole } from '../shapes.ts';
import { benchIdSchema, stageCodeSchema } from './envelope.ts';
import { kind, whySchema } from './kind.ts';

/** The tablet is set to the stages done at this bench. */
export const benchSetSchema = kind('bench-set', { stages: listOf(stageCodeSchema, 12, 1) });

export const badgedOnSchema = kind('badged-on', {});
export const badgedOffSchema = kind('badged-off', { why: z.enum(['badge', 'hand-over', 'quiet']) });

/** The stage's reminders were shown before work and tapped away. No proof that they were read, nor of training. */
export const remindersShownSchema = kind('reminders-shown', {
  stage: stageCodeSchema,
  /** Version of the site's wording. */
  wording: whole(0),
});

/** Nobody may run the stage's machine at the bench `where`, which need not be the bench that says so. */
export const machineStoppedSchema = kind('machine-stopped', {
  where: benchIdSchema,
  stage: stageCodeSchema,
  why: whySchema,
});
export const machineBackSchema = kind('machine-back', {
  where: benchIdSchema,
  stage: stageCodeSchema,
  why: whySchema,
});

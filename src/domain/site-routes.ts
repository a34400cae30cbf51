/**
 * The site's routes: which stages each kind of job takes and what must come first, with versions, so that a pair
 * keeps the routes under which it was logged. The catalogue's table is where a site begins.
 */
import * as z from 'zod/mini';
import type { StageCode } from './ids.ts';
import { instantSchema } from './instant.ts';
import { stageCodeSchema } from './record/envelope.ts';
import { JOBS, type Job } from './record/kinds.ts';
import { type Route, routeOf } from './route.ts';
import { listOf, whole } from './shapes.ts';

const NEEDS = ['always', 'if-needed', 'never'] as const;
export type StepNeed = (typeof NEEDS)[number];

export const siteRoutesSchema = z.object({
  version: whole(1),
  since: instantSchema,
  /** In the usual order, with how far each kind of job needs the stage, in the order of `JOBS`. */
  steps: listOf(
    z.object({ stage: stageCodeSchema, need: listOf(z.enum(NEEDS), JOBS.length, JOBS.length) }),
    64,
  ),
  /** `hard` blocks until somebody decides; `usual` is the habit of the house. */
  needs: listOf(
    z.object({ stage: stageCodeSchema, needs: stageCodeSchema, kind: z.enum(['hard', 'usual']) }),
    600,
  ),
});
export type SiteRoutes = z.infer<typeof siteRoutesSchema>;

/** How far a job takes a stage. */
export function needOf({ steps }: SiteRoutes, job: Job, stage: StageCode): StepNeed {
  return steps.find((step) => step.stage === stage)?.need[JOBS.indexOf(job)] ?? 'never';
}

/**
 * The route of one job. Stages that a pair was `asked` for are on it whatever its job.
 * @param dropped stages that this pair does not need: they hand their own needs on
 */
export function routeOfJob(
  routes: SiteRoutes,
  job: Job,
  asked: readonly StageCode[] = [],
  dropped: readonly StageCode[] = [],
): Route {
  const steps = routes.steps.map(({ stage, need }) => ({
    stage,
    need: dropped.includes(stage)
      ? ('never' as const)
      : asked.includes(stage)
        ? ('always' as const)
        : (need[JOBS.indexOf(job)] ?? 'never'),
  }));
  return routeOf(steps, routes.needs);
}

/** Changes to the routes: which job takes which stage, the usual order, and what must come first. */
import { siteRoutes } from './catalogue/site-start.ts';
import { STAGES } from './catalogue/stages.ts';
import type { StageCode } from './ids.ts';
import { JOBS } from './record/kinds.ts';
import { redoFrom } from './route.ts';
import { routesNow, type SiteBook } from './site-book.ts';
import {
  type ChangeContext,
  type Outcome,
  type RoutesDraft,
  refused,
  type SiteDraft,
} from './site-change-draft.ts';
import type { SiteFault } from './site-change-faults.ts';
import type { ChangeOf } from './site-change-kinds.ts';
import { ringIn } from './site-change-ring.ts';
import { needOf, routeOfJob } from './site-routes.ts';

export const NEEDS_MAX = 600;

/**
 * The routes that a change starts from. A site that has none yet starts from the catalogue's, and its own stages
 * stand at the end, on no job.
 */
export function routesToChange(book: SiteBook): RoutesDraft {
  const routes = routesNow(book);
  if (routes !== null) return routes;
  const codes = new Set(book.stages.map(({ code }) => code));
  const { steps, needs } = siteRoutes(STAGES.filter(({ code }) => codes.has(code)));
  const own = [...codes].filter((code) => !hasStage({ steps, needs }, code));
  return {
    steps: [...steps, ...own.map((stage) => ({ stage, need: JOBS.map(() => 'never' as const) }))],
    needs,
  };
}

export function hasStage({ steps }: RoutesDraft, stage: StageCode): boolean {
  return steps.some((step) => step.stage === stage);
}

/** Puts the changed routes into the draft, unless they cannot be worked. Faults that stood before are not held against it. */
export function withRoutes(draft: SiteDraft, routes: RoutesDraft): Outcome<SiteDraft> {
  const stood = new Set(routeFaults(draft.routes, draft.book).map((fault) => JSON.stringify(fault)));
  const faults = routeFaults(routes, draft.book).filter((fault) => !stood.has(JSON.stringify(fault)));
  return faults.length > 0 ? { faults } : { ok: { ...draft, routes } };
}

/** What makes these routes unworkable, each fault with its stages by name. */
export function routeFaults(routes: RoutesDraft, book: SiteBook): readonly SiteFault[] {
  const unknown = routes.needs.filter(({ needs }) => !hasStage(routes, needs));
  if (unknown.length > 0)
    return unknown.map(({ stage, needs }) => ({ fault: 'needs-unknown', stage, needs }));
  const ring = ringIn(routes.needs);
  if (ring !== null) return [{ fault: 'ring', stages: [...ring] }];
  const closing = book.closingStage;
  const whole = { version: 1, since: 0, ...routes };
  if (JOBS.some((job) => needOf(whole, job, closing) !== 'always')) {
    return [{ fault: 'closing', stage: closing }];
  }
  const late = new Map<StageCode, SiteFault>();
  for (const job of JOBS) {
    for (const stage of redoFrom(routeOfJob(whole, job), closing)) {
      if (stage !== closing) late.set(stage, { fault: 'after-closing', stage, closing, job });
    }
  }
  return [...late.values()];
}

/** How far one kind of job takes the stage. */
export function takeStage(
  draft: SiteDraft,
  { stage, job, need }: ChangeOf<'take-stage'>,
  { pairsOpenAt }: ChangeContext,
): Outcome<SiteDraft> {
  const { routes } = draft;
  const step = routes.steps.find((one) => one.stage === stage);
  if (step === undefined) return refused({ fault: 'stage-unknown', stage });
  const needs = step.need.map((before, index) => (JOBS[index] === job ? need : before));
  const pairs = pairsOpenAt.get(stage) ?? 0;
  if (pairs > 0 && needs.every((one) => one === 'never')) {
    return refused({ fault: 'open-pairs', stage, pairs });
  }
  const steps = routes.steps.map((one) => (one.stage === stage ? { stage, need: needs } : one));
  return withRoutes(draft, { ...routes, steps });
}

export function moveStage(draft: SiteDraft, { stage, before }: ChangeOf<'move-stage'>): Outcome<SiteDraft> {
  const { routes } = draft;
  const moved = routes.steps.find((step) => step.stage === stage);
  if (moved === undefined) return refused({ fault: 'stage-unknown', stage });
  if (before !== null && !hasStage(routes, before)) return refused({ fault: 'stage-unknown', stage: before });
  if (before === stage) return { ok: draft };
  const rest = routes.steps.filter((step) => step.stage !== stage);
  return withRoutes(draft, { ...routes, steps: insertedBefore(rest, moved, before) });
}

/** The steps with one more, before another or at the end. */
export function insertedBefore(
  steps: RoutesDraft['steps'],
  step: RoutesDraft['steps'][number],
  before: StageCode | null,
): RoutesDraft['steps'] {
  const at = steps.findIndex(({ stage }) => stage === before);
  return at < 0 ? [...steps, step] : [...steps.slice(0, at), step, ...steps.slice(at)];
}

/** Adds a need, changes its kind or takes it away. */
export function changeNeed(
  draft: SiteDraft,
  { stage, needs: earlier, kind }: ChangeOf<'need'>,
): Outcome<SiteDraft> {
  const { routes } = draft;
  if (!hasStage(routes, stage)) return refused({ fault: 'stage-unknown', stage });
  const at = routes.needs.findIndex((one) => one.stage === stage && one.needs === earlier);
  if (kind === null) {
    return at < 0
      ? { ok: draft }
      : withRoutes(draft, { ...routes, needs: routes.needs.filter((_, index) => index !== at) });
  }
  const need = { stage, needs: earlier, kind };
  if (at < 0 && routes.needs.length >= NEEDS_MAX) {
    return refused({ fault: 'too-many', what: 'needs', most: NEEDS_MAX });
  }
  const needs =
    at < 0 ? [...routes.needs, need] : routes.needs.map((one, index) => (index === at ? need : one));
  return withRoutes(draft, { ...routes, needs });
}

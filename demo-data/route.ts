/** The stages that one pair takes at this site, and what must be finished before each, by the book's own routes. */
import { asStageCode, type StageCode } from '../src/domain/ids.ts';
import type { Job } from '../src/domain/record/kinds.ts';
import { routeOf } from '../src/domain/route.ts';
import { needOf } from '../src/domain/site-routes.ts';
import type { Prng } from './prng.ts';
import { INSPECTION, OWNERS_YES, ROUTES, SITE_STAGES } from './workshop.ts';

export type Route = ReadonlyMap<StageCode, readonly StageCode[]>;

/** How often a stage that is done if needed is needed; invented. */
const NEEDED: Readonly<Record<string, number>> = {
  CLN: 0.6,
  RIB: 0.35,
  CLO: 0.3,
  LAS: 0.3,
  WLT: 0.15,
  SHK: 0.5,
  HBL: 0.5,
  TOP: 0.4,
  BST: 0.3,
  DET: 0.4,
  UCL: 0.7,
};

/** Stages that come and go with another: no last to find or slip without lasting, no heel to put on unbuilt. */
const FOLLOWS: Readonly<Record<string, string>> = { FND: 'LAS', SLP: 'LAS', HAT: 'HBL', SC1: 'TOP' };

/** The stages that the job always takes. */
export function stagesAlways(job: Job): readonly StageCode[] {
  return SITE_STAGES.map(({ code }) => code).filter((code) => needOf(ROUTES, job, code) === 'always');
}

/** Those that a new pair takes beyond them. */
export function drawOptional(job: Job, random: Prng): readonly StageCode[] {
  const optional = SITE_STAGES.map(({ code }) => code).filter(
    (code) => needOf(ROUTES, job, code) === 'if-needed',
  );
  const drawn = new Set(optional.filter((code) => random.chance(NEEDED[code] ?? 0)));
  const taken = new Set([...stagesAlways(job), ...drawn]);
  for (const code of optional) {
    const leader = FOLLOWS[code];
    if (leader !== undefined && taken.has(asStageCode(leader))) drawn.add(code);
  }
  return optional.filter((code) => drawn.has(code));
}

/**
 * The route over these stages: each with the stages, of these, that must be finished first. Whatever waits for the
 * owner's yes waits for the inspection too, also where the yes came with the pair.
 */
export function routeOver(stages: readonly StageCode[]): Route {
  const taken = ROUTES.steps.map(({ stage }) => ({
    stage,
    need: stages.includes(stage) ? ('always' as const) : ('never' as const),
  }));
  return new Map(
    routeOf(taken, ROUTES.needs).map(({ stage, after }) => [
      stage,
      after.includes(OWNERS_YES) ? [...new Set([...after, INSPECTION])] : after,
    ]),
  );
}

/** All stages that must come before `stage`, near and far. */
export function farBefore(route: Route, stage: StageCode): ReadonlySet<StageCode> {
  const met = new Set<StageCode>();
  const walk = [...(route.get(stage) ?? [])];
  for (let next = walk.pop(); next !== undefined; next = walk.pop()) {
    if (met.has(next)) continue;
    met.add(next);
    walk.push(...(route.get(next) ?? []));
  }
  return met;
}

/** The stages that one pair takes at this site, and what must be finished before each. */
import { jobStage } from '../src/domain/catalogue/jobs.ts';
import { PRECEDENCE } from '../src/domain/catalogue/precedence.ts';
import { asStageCode, type StageCode } from '../src/domain/ids.ts';
import type { Job } from '../src/domain/record/kinds.ts';
import { routeOf } from '../src/domain/route.ts';
import type { Prng } from './prng.ts';
import { SITE_STAGES } from './workshop.ts';

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

/** The stages of a new pair on this job. */
export function drawStages(job: Job, random: Prng): readonly StageCode[] {
  const drawn = new Set<StageCode>();
  for (const { code } of SITE_STAGES) {
    const { need } = jobStage(job, code);
    const share = NEEDED[code];
    if (need === 'always' || (need === 'if-needed' && share !== undefined && random.chance(share)))
      drawn.add(code);
  }
  for (const { code } of SITE_STAGES) {
    const leader = FOLLOWS[code];
    if (leader !== undefined && jobStage(job, code).need === 'if-needed' && drawn.has(asStageCode(leader)))
      drawn.add(code);
  }
  return SITE_STAGES.map(({ code }) => code).filter((code) => drawn.has(code));
}

/** The route over these stages: each with the stages, of these, that must be finished first. */
export function routeOver(stages: readonly StageCode[]): Route {
  const taken = SITE_STAGES.map(({ code }) => ({
    stage: code,
    need: stages.includes(code) ? ('always' as const) : ('never' as const),
  }));
  return new Map(routeOf(taken, PRECEDENCE).map(({ stage, after }) => [stage, after]));
}

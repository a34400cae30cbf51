/**
 * The catalogue's routes, job by job, against what the trade does. The source or «common practice, no source» stands
 * beside each fact; sources were read in excerpts. The order of stages by itself is held in `trade.test.ts`: here it is
 * what comes of it once a job leaves stages out, and once a pair goes back.
 */
import { describe, expect, test } from 'vitest';
import { siteRoutes, siteWays } from '../../src/domain/catalogue/site-start.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { JOBS, type Job } from '../../src/domain/record/kinds.ts';
import { missingBefore, redoFrom } from '../../src/domain/route.ts';
import { needOf, routeOfJob } from '../../src/domain/site-routes.ts';

const COMMON = 'common practice, no source';
const DOOLEY = 'Dooley, A Manual of Shoemaking and Leather and Rubber Products, 1912';
const HALF_SOLE = 'training.gov.au, unit MSTFR2004, half leather sole';

const ROUTES = siteRoutes(STAGES);
const code = asStageCode;
const codes = (text: string): readonly StageCode[] => text.split(' ').map(code);
const stepOf = (job: Job, stage: string) => routeOfJob(ROUTES, job).find((one) => one.stage === stage);

/** Whether `late` stands on `early` on this job, through however many stages. */
const standsOn = (job: Job, late: string, early: string) =>
  redoFrom(routeOfJob(ROUTES, job), code(early)).has(code(late));

describe('the very need of a stage', () => {
  test.each<[Job, string, string, string]>([
    // Heels are attached from inside the shoe, through the insole: the last is out of it by then.
    ['FB', 'HAT', 'SLP', COMMON],
    ['RS', 'HAT', 'SLP', COMMON],
    // The rounder cuts channel or groove, "which is necessary for the next operation"; a half sole has it too.
    ['FB', 'STI', 'RND', DOOLEY],
    ['HF', 'STI', 'RND', DOOLEY],
    // A coarse mark left by the first scouring shows through the stain, so the fine one comes before colour.
    ['FB', 'SC2', 'SC1', COMMON],
    ['FB', 'EST', 'SC2', COMMON],
    ['FB', 'EST', 'ETR', COMMON],
    ['HL', 'EST', 'SC2', COMMON],
    // The heel is scoured with its top piece on, since the top piece is scoured with it.
    ['FB', 'SC1', 'TOP', COMMON],
    ['HL', 'SC1', 'TOP', COMMON],
    // The last is looked out before the upper goes back on it.
    ['FB', 'LAS', 'FND', COMMON],
    // The shank lies on the beaten seam, and is covered by the filling.
    ['FB', 'SHK', 'BEA', COMMON],
    // Nails are felt for before the sock covers them, and nothing is boxed without its socks and laces.
    ['FB', 'SOK', 'CHK', COMMON],
    ['FB', 'BOX', 'LAC', COMMON],
    ['FB', 'BOX', 'SOK', COMMON],
  ])('%s: %s right after %s (%s)', (job, stage, needs) => {
    expect(stepOf(job, stage)?.after).toContain(code(needs));
  });

  test('both scourings are done before the edge is stained, on every job that has them (common practice, no source)', () => {
    for (const job of JOBS) {
      for (const scouring of ['SC1', 'SC2']) expect(standsOn(job, 'EST', scouring)).toBe(true);
    }
  });

  test('edges are finished before bottoms are stained by habit, which never stops a bench (common practice, no source)', () => {
    expect(stepOf('FB', 'BSC')?.usuallyAfter).toEqual(['EPL']);
    expect(standsOn('FB', 'BST', 'EPL')).toBe(false);
    expect(standsOn('FB', 'BST', 'BSC')).toBe(true);
  });
});

describe('what a job is', () => {
  test.each<[Job, string, 'always' | 'if-needed' | 'never', string]>([
    // A new welt is what makes a full rebuild; on the other jobs the old one is kept.
    ['FB', 'WLT', 'always', COMMON],
    ['RS', 'WLT', 'if-needed', COMMON],
    ['LG', 'WLT', 'never', COMMON],
    ['HF', 'WLT', 'never', COMMON],
    ['HL', 'WLT', 'never', COMMON],
    // 3.1: top lifts and soles come off "back to waist"; 3.4: the half sole is skived from the waist mark.
    ['HF', 'PUL', 'always', HALF_SOLE],
    ['HF', 'PRP', 'always', HALF_SOLE],
    // 2.1: shoes are inspected and the customer is told the cost "prior to commencing shoe repair".
    ['HF', 'TRI', 'always', HALF_SOLE],
    ['HF', 'OWN', 'always', HALF_SOLE],
    ['HF', 'STI', 'always', COMMON],
    ['HF', 'ETR', 'always', COMMON],
    ['HF', 'LAS', 'never', COMMON],
    ['HF', 'HAT', 'never', COMMON],
    // A heel job touches no sole.
    ['HL', 'TOP', 'always', COMMON],
    ['HL', 'PRP', 'never', COMMON],
    ['HL', 'STI', 'never', COMMON],
  ])('%s: %s %s (%s)', (job, stage, need) => {
    expect(needOf(ROUTES, job, code(stage))).toBe(need);
  });

  test('what is always done on a sole on the old welt is done on a full rebuild too (common practice, no source)', () => {
    for (const { stage } of ROUTES.steps) {
      if (needOf(ROUTES, 'RS', stage) === 'always') expect(needOf(ROUTES, 'FB', stage)).toBe('always');
    }
  });

  test('every job is inspected, stripped, checked and boxed (common practice, no source)', () => {
    for (const job of JOBS) {
      for (const stage of codes('TRI PUL CHK BOX')) expect(needOf(ROUTES, job, stage)).toBe('always');
    }
  });
});

describe('what a job that leaves stages out still holds to', () => {
  test('a heel is topped after the old one is off, though there is no last to slip (common practice, no source)', () => {
    const route = routeOfJob(ROUTES, 'HL');
    expect(missingBefore(route, code('TOP'), new Set(codes('REC TRI')))).toContain(code('PUL'));
    expect(standsOn('HL', 'TOP', 'SLP')).toBe(false);
  });

  test('a half sole is not laid before the old one is off, though the insole is left alone (MSTFR2004, 3.1: soles come off back to the waist before the new one is replaced in part 4)', () => {
    expect(standsOn('HF', 'LAY', 'PUL')).toBe(true);
    const done = new Set(codes('REC TRI OWN PRP'));
    expect(missingBefore(routeOfJob(ROUTES, 'HF'), code('LAY'), done)).toEqual(['PUL']);
  });

  test('nothing leaves before the final check, on any job (common practice, no source)', () => {
    for (const job of JOBS) expect(standsOn(job, 'DSP', 'CHK')).toBe(true);
  });
});

describe('what is done again', () => {
  test('a cut welt seam takes everything that stands on it; the last stays found and the heels built (common practice, no source)', () => {
    const again = redoFrom(routeOfJob(ROUTES, 'FB'), code('WLT'));
    for (const stage of codes('INT BEA SHK CRK LAY RND STI LEV SLP HAT')) expect(again).toContain(stage);
    for (const stage of codes('PUL RIB FND LAS PRP HBL')) expect(again).not.toContain(stage);
  });

  test('a lockstitched sole seam does not reach the welt seam (Dooley: the sole can wear through without the seam running)', () => {
    const again = redoFrom(routeOfJob(ROUTES, 'FB'), code('STI'));
    for (const stage of codes('WLT INT BEA CRK LAY RND')) expect(again).not.toContain(stage);
  });

  test('an edge trimmed again is stained, waxed and polished again, and the bottom is not (common practice, no source)', () => {
    const again = redoFrom(routeOfJob(ROUTES, 'FB'), code('ETR'));
    for (const stage of codes('EST WAX EPL')) expect(again).toContain(stage);
    for (const stage of codes('BSC BST STI HAT')) expect(again).not.toContain(stage);
  });

  test('colour is laid on both shoes again, whichever went back: one batch, one sitting (common practice, no source)', () => {
    expect(siteWays(STAGES).colour).toEqual(codes('EST BST UCL'));
  });

  test('left and right are compared at trimming, staining and the check, and boxed together (common practice, no source)', () => {
    expect(siteWays(STAGES).together).toEqual(codes('ETR EST BST CHK BOX'));
  });

  test('the last is in the shoe from re-lasting to slipping (common practice, no source)', () => {
    const { lastFrom, lastTo } = siteWays(STAGES);
    expect([lastFrom, lastTo]).toEqual(codes('LAS SLP'));
    for (const job of ['RS', 'FB'] as const) expect(standsOn(job, 'SLP', 'LAS')).toBe(true);
  });
});

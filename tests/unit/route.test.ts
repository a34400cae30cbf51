/** Routes worked out by hand: what is due, what is missing, what is done again, and what a skipped stage hands on. */
import { describe, expect, test } from 'vitest';
import { siteRoutes } from '../../src/domain/catalogue/site-start.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';
import type { Job } from '../../src/domain/record/kinds.ts';
import {
  dueNow,
  faultsOf,
  inWorkingOrder,
  missingBefore,
  type Route,
  type RouteStep,
  redoFrom,
} from '../../src/domain/route.ts';
import { needOf, routeOfJob } from '../../src/domain/site-routes.ts';

const ROUTES = siteRoutes(STAGES);
const codes = (text: string): readonly StageCode[] => (text === '' ? [] : text.split(' ').map(asStageCode));
const code = asStageCode;
const done = (text: string) => new Set(codes(text));
const routeFor = (job: Job, asked = '', dropped = '') =>
  routeOfJob(ROUTES, job, codes(asked), codes(dropped));
const step = (stage: string, after = '', need: RouteStep['need'] = 'always'): RouteStep => ({
  stage: code(stage),
  need,
  after: codes(after),
  usuallyAfter: [],
});

/** A1 and B1 side by side, C1 on both, D1 on C1. */
const DIAMOND: Route = [step('A1'), step('B1'), step('C1', 'A1 B1'), step('D1', 'C1')];

describe('the open fronts', () => {
  test('are all the stages whose needs are finished', () => {
    expect(dueNow(DIAMOND, done(''))).toEqual(['A1', 'B1']);
    expect(dueNow(DIAMOND, done('A1'))).toEqual(['B1']);
    expect(dueNow(DIAMOND, done('A1 B1'))).toEqual(['C1']);
    expect(dueNow(DIAMOND, done('A1 B1 C1 D1'))).toEqual([]);
  });

  test('of a full rebuild, once its owner has agreed: stripping, soles, heels and the search for the last', () => {
    expect(dueNow(routeFor('FB'), done('REC TRI OWN CLN'))).toEqual(['PUL', 'FND', 'PRP', 'HBL']);
  });

  test('a stage done if needed is a front only where somebody asked for it', () => {
    const route = [step('A1'), step('B1', 'A1', 'if-needed'), step('C1', 'B1')];
    expect(dueNow(route, done('A1'))).toEqual(['C1']);
    expect(dueNow(route, done('A1'), done('B1'))).toEqual(['B1']);
    expect(dueNow(routeFor('FB'), done('REC TRI OWN CLN PUL RIB'))).not.toContain('CLO');
    expect(dueNow(routeFor('FB', 'CLO'), done('REC TRI OWN CLN PUL RIB'))).toContain('CLO');
  });
});

describe('what is missing before a stage', () => {
  test('is the nearest that is undone, not all the way back', () => {
    expect(missingBefore(DIAMOND, code('D1'), done(''))).toEqual(['C1']);
    expect(missingBefore(DIAMOND, code('C1'), done('B1'))).toEqual(['A1']);
    expect(missingBefore(routeFor('FB'), code('STI'), done(''))).toEqual(['RND']);
  });

  test('is looked for through what is only done if needed', () => {
    const route = [step('A1'), step('B1', 'A1', 'if-needed'), step('C1', 'B1')];
    expect(missingBefore(route, code('C1'), done(''))).toEqual(['A1']);
    expect(missingBefore(route, code('C1'), done(''), done('B1'))).toEqual(['B1']);
    expect(missingBefore(route, code('C1'), done('B1'))).toEqual([]);
  });

  test('is nothing for a stage that is not on the route', () => {
    expect(missingBefore(DIAMOND, code('X1'), done(''))).toEqual([]);
  });
});

describe('what a stage that is left out hands on', () => {
  test('a heel-only job tops the heel after it has been stripped, with no last in between', () => {
    // HAT, SLP, LEV, STI … are not taken: TOP waits for what they waited for, and for the heel that may be built.
    const top = routeFor('HL').find(({ stage }) => stage === 'TOP');
    expect(top?.after).toContain('HAT');
    expect(missingBefore(routeFor('HL'), code('TOP'), done('REC TRI'))).toEqual(['PUL']);
    expect(missingBefore(routeFor('HL'), code('TOP'), done('REC TRI PUL'))).toEqual([]);
  });

  test('a stage that a pair does not need is passed by, and its needs are not', () => {
    const route = routeFor('FB', '', 'SHK');
    expect(route.some(({ stage }) => stage === 'SHK')).toBe(false);
    expect(missingBefore(route, code('CRK'), done('REC TRI OWN PUL RIB FND LAS WLT INT'))).toEqual(['BEA']);
  });

  test('a habit is not handed on: it holds nothing up', () => {
    const before = routeFor('FB').find(({ stage }) => stage === 'BSC');
    expect(before?.usuallyAfter).toEqual(['EPL']);
    const without = routeFor('FB', '', 'EPL').find(({ stage }) => stage === 'BSC');
    expect(without?.usuallyAfter).toEqual([]);
  });
});

describe('what is done again', () => {
  test('is the stage and all that stands on it', () => {
    expect([...redoFrom(DIAMOND, code('A1'))]).toEqual(['A1', 'C1', 'D1']);
    expect([...redoFrom(DIAMOND, code('D1'))]).toEqual(['D1']);
  });

  test('a welt sewn again leaves the last that was found, and the heels that were built, as they are', () => {
    const again = redoFrom(routeFor('FB'), code('WLT'));
    for (const stage of codes('INT BEA CRK LAY STI HAT CHK BOX')) expect(again).toContain(stage);
    for (const stage of codes('FND PRP HBL RIB LAS')) expect(again).not.toContain(stage);
  });
});

describe('what is wrong with a route', () => {
  test.each<[string, Route, ReturnType<typeof faultsOf>]>([
    ['nothing', DIAMOND, []],
    ['it is empty', [], [{ fault: 'empty' }]],
    ['a stage twice', [step('A1'), step('A1')], [{ fault: 'twice', stage: code('A1') }]],
    [
      'a need that is not on it',
      [step('A1', 'X1')],
      [{ fault: 'needs-unknown', stage: code('A1'), needs: code('X1') }],
    ],
    [
      'a ring, and what waits for it',
      [step('A1', 'B1'), step('B1', 'A1'), step('C1', 'B1'), step('D1')],
      [{ fault: 'ring', stages: codes('A1 B1 C1') }],
    ],
  ])('%s', (_, route, faults) => {
    expect(faultsOf(route)).toEqual(faults);
  });
});

test('the working order follows the usual order where the needs leave a choice', () => {
  expect(inWorkingOrder([step('C1', 'A1 B1'), step('B1'), step('A1')])).toEqual(['B1', 'A1', 'C1']);
});

test('how far a job takes a stage is read from the column of the job', () => {
  expect(needOf(ROUTES, 'FB', code('WLT'))).toBe('always');
  expect(needOf(ROUTES, 'RS', code('WLT'))).toBe('if-needed');
  expect(needOf(ROUTES, 'HL', code('WLT'))).toBe('never');
  expect(needOf(ROUTES, 'FB', code('X1'))).toBe('never');
});

/**
 * Routes against a general graph library (@dagrejs/graphlib): orders, rings, what stands on what, and what is missing,
 * on the catalogue's precedence and on any graph. An edge goes from a stage to the stage that waits for it.
 */
import { alg, Graph } from '@dagrejs/graphlib';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PRECEDENCE } from '../../src/domain/catalogue/precedence.ts';
import { siteRoutes, siteStages, siteWays } from '../../src/domain/catalogue/site-start.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { JOBS } from '../../src/domain/record/kinds.ts';
import {
  dueNow,
  faultsOf,
  inWorkingOrder,
  missingBefore,
  type Need,
  type Route,
  redoFrom,
  routeOf,
} from '../../src/domain/route.ts';
import { routesNow, siteBookSchema } from '../../src/domain/site-book.ts';
import { STEP_NEEDS } from '../../src/domain/site-change-kinds.ts';
import { ringIn } from '../../src/domain/site-change-ring.ts';
import { changeSiteInOne } from '../../src/domain/site-changes.ts';
import { routeOfJob } from '../../src/domain/site-routes.ts';
import { siteFaultLine } from '../../src/words/site-faults.ts';
import { MONDAY_8, siteBook } from '../support/builders.ts';

const HARD = PRECEDENCE.filter(({ kind }) => kind === 'hard');

function graphOf(
  stages: readonly StageCode[],
  needs: readonly { readonly stage: StageCode; readonly needs: StageCode }[],
): Graph {
  const graph = new Graph();
  graph.setNodes([...stages]);
  for (const { stage, needs: earlier } of needs) graph.setEdge(earlier, stage);
  return graph;
}

const graphOfRoute = (route: Route): Graph =>
  graphOf(
    route.map(({ stage }) => stage),
    route.flatMap(({ stage, after }) => after.map((needs) => ({ stage, needs }))),
  );

/** The stages that can be reached from one, itself among them. */
const from = (graph: Graph, stage: string): ReadonlySet<string> => new Set(alg.preorder(graph, stage));

const sorted = (codes: Iterable<string>): readonly string[] => [...codes].sort();

const STAGES_MAX = 9;
const stageAt = (index: number) => asStageCode(`S${index}`);

/** Any stages with any needs, and how far they are taken. With `rings` false, only earlier stages are needed. */
const networks = (rings: boolean) =>
  fc.integer({ min: 1, max: STAGES_MAX }).chain((size) => {
    const place = fc.nat(size - 1);
    const edges = fc.array(
      fc.record({ one: place, other: place, kind: fc.constantFrom('hard' as const, 'usual' as const) }),
      { maxLength: 18 },
    );
    const takes = fc.array(fc.constantFrom('always' as const, 'if-needed' as const, 'never' as const), {
      minLength: size,
      maxLength: size,
    });
    // The usual order need not be a working order: the site moves stages as it likes.
    const order = fc.shuffledSubarray([...Array(size).keys()], { minLength: size });
    return fc.record({ edges, takes, order }).map((drawn) => ({
      stages: drawn.order.map((index) => ({
        stage: stageAt(index),
        need: drawn.takes[index] ?? ('always' as const),
      })),
      needs: drawn.edges.flatMap(({ one, other, kind }): Need[] => {
        if (rings) return [{ stage: stageAt(one), needs: stageAt(other), kind }];
        if (one === other) return [];
        return [{ stage: stageAt(Math.max(one, other)), needs: stageAt(Math.min(one, other)), kind }];
      }),
    }));
  });

const hardOf = (needs: readonly Need[]) => needs.filter(({ kind }) => kind === 'hard');

describe('on any graph', () => {
  test('the working order is a topological order of all that can be worked', () => {
    fc.assert(
      fc.property(networks(false), ({ stages, needs }) => {
        const route = routeOf(stages, needs);
        const order = inWorkingOrder(route);
        const graph = graphOfRoute(route);
        expect(sorted(order)).toEqual(sorted(alg.topsort(graph)));
        for (const { v, w } of graph.edges()) {
          expect(order.indexOf(asStageCode(v))).toBeLessThan(order.indexOf(asStageCode(w)));
        }
        expect(faultsOf(route)).toEqual(route.length === 0 ? [{ fault: 'empty' }] : []);
      }),
    );
  });

  test('a ring is found exactly where there is one, and names the stages of one, in order', () => {
    fc.assert(
      fc.property(networks(true), ({ stages, needs }) => {
        const graph = graphOf(
          stages.map(({ stage }) => stage),
          needs,
        );
        const ring = ringIn(needs);
        expect(ring === null).toBe(alg.isAcyclic(graph));
        if (ring === null) return;
        expect(alg.findCycles(graph).some((cycle) => ring.every((stage) => cycle.includes(stage)))).toBe(
          true,
        );
        expect(new Set(ring).size).toBe(ring.length);
        for (const [index, stage] of ring.entries()) {
          expect(graph.hasEdge(ring[(index + 1) % ring.length] ?? '', stage)).toBe(true);
        }
      }),
      { numRuns: 300 },
    );
  });

  test('what is stuck is what stands on a ring, and nothing else', () => {
    fc.assert(
      fc.property(networks(true), ({ stages, needs }) => {
        const taken = stages.map(({ stage }) => ({ stage, need: 'always' as const }));
        const route = routeOf(taken, needs);
        const graph = graphOfRoute(route);
        const onRings = alg.findCycles(graph).flat();
        const stuck = new Set(onRings.flatMap((stage) => [...from(graph, stage)]));
        const ring = faultsOf(route).find((fault) => fault.fault === 'ring');
        expect(sorted(ring?.fault === 'ring' ? ring.stages : [])).toEqual(sorted(stuck));
      }),
    );
  });

  test('what is done again is all that can be reached: closed under the needs, and no more than that', () => {
    fc.assert(
      fc.property(networks(true), ({ stages, needs }) => {
        const route = routeOf(stages, needs);
        const graph = graphOfRoute(route);
        for (const { stage } of route) {
          const again = redoFrom(route, stage);
          expect(sorted(again)).toEqual(sorted(from(graph, stage)));
          for (const step of route) {
            if (step.after.some((earlier) => again.has(earlier))) expect(again.has(step.stage)).toBe(true);
          }
        }
      }),
    );
  });

  test('a skipped stage hands its needs on: who came before whom stays as it was', () => {
    fc.assert(
      fc.property(networks(false), ({ stages, needs }) => {
        const every = graphOf(
          stages.map(({ stage }) => stage),
          hardOf(needs),
        );
        const route = routeOf(stages, needs);
        const taken = graphOfRoute(route);
        for (const { stage } of route) {
          const onRoute = [...from(every, stage)].filter((one) => taken.hasNode(one));
          expect(sorted(from(taken, stage))).toEqual(sorted(onRoute));
        }
      }),
    );
  });

  test('what is missing is what the needs lead to, on through stages that nobody wants and never past one that is done', () => {
    const drawn = fc.tuple(
      networks(true),
      fc.array(fc.nat(STAGES_MAX - 1)),
      fc.array(fc.nat(STAGES_MAX - 1)),
    );
    fc.assert(
      fc.property(drawn, ([{ stages, needs }, doneAt, askedAt]) => {
        const route = routeOf(stages, needs);
        const done = new Set(doneAt.map(stageAt));
        const asked = new Set(askedAt.map(stageAt));
        const owed = (code: string) =>
          asked.has(asStageCode(code)) ||
          route.some(({ stage, need }) => stage === code && need === 'always');
        for (const { stage } of route) {
          // One walks back from whatever is neither done nor wanted; what is wanted is missing, and what is done ends it.
          const back = new Graph();
          back.setNodes(route.map((step) => step.stage));
          for (const step of route) {
            if (!done.has(step.stage) && !owed(step.stage))
              for (const earlier of step.after) back.setEdge(step.stage, earlier);
          }
          const starts = route.find((step) => step.stage === stage)?.after ?? [];
          const reached = new Set(starts.flatMap((earlier) => [...from(back, earlier)]));
          const missing = [...reached].filter((code) => owed(code) && !done.has(asStageCode(code)));
          expect(sorted(missingBefore(route, stage, done, asked))).toEqual(sorted(missing));
        }
      }),
      { numRuns: 200 },
    );
  });

  test('there is always a front until all is finished, whichever front is worked first', () => {
    fc.assert(
      fc.property(networks(false), fc.array(fc.nat(STAGES_MAX)), ({ stages, needs }, picks) => {
        const route = routeOf(stages, needs);
        const wanted = route.filter(({ need }) => need === 'always').map(({ stage }) => stage);
        const done = new Set<StageCode>();
        for (let turn = 0; turn < wanted.length; turn += 1) {
          const fronts = dueNow(route, done);
          const next = fronts[(picks[turn] ?? 0) % Math.max(1, fronts.length)];
          if (next === undefined) throw new Error(`no front after ${[...done].join(' ')}`);
          expect(missingBefore(route, next, done)).toEqual([]);
          done.add(next);
        }
        expect(sorted(done)).toEqual(sorted(wanted));
        expect(dueNow(route, done)).toEqual([]);
      }),
    );
  });
});

describe('on the catalogue', () => {
  const codes = STAGES.map(({ code }) => code);
  const whole = siteRoutes(STAGES);

  test('needs and habits together have no ring, and the usual order is a working order', () => {
    const graph = graphOf(codes, PRECEDENCE);
    expect(alg.isAcyclic(graph)).toBe(true);
    expect(alg.findCycles(graph)).toEqual([]);
    for (const { v, w } of graph.edges()) {
      expect(codes.indexOf(asStageCode(v))).toBeLessThan(codes.indexOf(asStageCode(w)));
    }
  });

  test.each(JOBS)('a %s is worked through in a topological order', (job) => {
    const route = routeOfJob(whole, job);
    const order = inWorkingOrder(route);
    expect(faultsOf(route)).toEqual([]);
    expect(sorted(order)).toEqual(sorted(alg.topsort(graphOfRoute(route))));
  });

  test.each(JOBS)(
    'on a %s what stands on a stage is what it reaches through every stage, taken or not',
    (job) => {
      const route = routeOfJob(whole, job);
      const graph = graphOf(codes, HARD);
      const taken = new Set<string>(route.map(({ stage }) => stage));
      for (const { stage } of route) {
        const reached = [...from(graph, stage)].filter((code) => taken.has(code));
        expect(sorted(redoFrom(route, stage))).toEqual(sorted(reached));
      }
    },
  );

  test('stages taken away at the desk, in any order, leave the order of the others as it was', () => {
    const book = siteBook({
      stages: siteStages(STAGES),
      routes: [whole],
      ways: { ...siteWays(STAGES), owner: null, lastFrom: null, lastTo: null, check: null, box: null },
    });
    const removable = codes.filter((code) => code !== book.closingStage);
    const context = { now: MONDAY_8, today: '2026-11-02', pairsOpenAt: new Map() };
    const before = graphOf(codes, HARD);
    fc.assert(
      fc.property(fc.shuffledSubarray(removable, { maxLength: 12 }), (gone) => {
        const changes = gone.map((stage) => ({ change: 'remove-stage' as const, stage }));
        const answer = changeSiteInOne(book, changes, context);
        if ('faults' in answer) throw new Error(JSON.stringify(answer.faults));
        const routes = routesNow(answer.ok);
        const left = codes.filter((code) => !gone.includes(code));
        const after = graphOf(left, hardOf(routes?.needs ?? []));
        for (const stage of left) {
          const kept = [...from(before, stage)].filter((code) => after.hasNode(code));
          expect(sorted(from(after, stage))).toEqual(sorted(kept));
        }
      }),
      { numRuns: 40 },
    );
  });
});

describe('whatever a site changes at its desk', () => {
  const codes = STAGES.map(({ code }) => code);
  const stage = fc.constantFrom(...codes, asStageCode('TAG'));
  const changes = fc.array(
    fc.oneof(
      fc.record({
        change: fc.constant('take-stage' as const),
        stage,
        job: fc.constantFrom(...JOBS),
        need: fc.constantFrom(...STEP_NEEDS),
      }),
      fc.record({
        change: fc.constant('need' as const),
        stage,
        needs: stage,
        kind: fc.constantFrom('hard' as const, 'usual' as const, null),
      }),
      fc.record({
        change: fc.constant('move-stage' as const),
        stage,
        before: fc.option(stage, { nil: null }),
      }),
      fc.record({ change: fc.constant('remove-stage' as const), stage }),
      fc.record({ change: fc.constant('bring-back-stage' as const), stage }),
      fc.record({
        change: fc.constant('add-stage' as const),
        code: fc.constant('TAG'),
        name: fc.constant('Tagging'),
        plain: fc.constant('being tagged'),
        before: fc.option(stage, { nil: null }),
        takes: fc.array(fc.constantFrom(...STEP_NEEDS), { minLength: JOBS.length, maxLength: JOBS.length }),
        needs: fc.array(stage, { maxLength: 3 }),
      }),
    ),
    { minLength: 1, maxLength: 25 },
  );

  test('the routes can be worked, the book can be kept, and no version that a pair may keep is touched', () => {
    let stood = 0;
    fc.assert(
      fc.property(changes, fc.boolean(), (made, atOnce) => {
        let book = siteBook({
          stages: siteStages(STAGES),
          routes: [siteRoutes(STAGES)],
          ways: siteWays(STAGES),
        });
        for (const group of atOnce ? [made] : made.map((one) => [one])) {
          const answer = changeSiteInOne(book, group, {
            now: MONDAY_8,
            today: '2026-11-02',
            pairsOpenAt: new Map(),
          });
          if ('faults' in answer) {
            expect(answer.faults.length).toBeGreaterThan(0);
            for (const fault of answer.faults)
              expect(siteFaultLine(fault, book).says).not.toMatch(/undefined|null/);
            continue;
          }
          stood += 1;
          expect(siteBookSchema.parse(answer.ok)).toEqual(answer.ok);
          expect(answer.ok.routes.slice(0, book.routes.length)).toEqual(book.routes);
          book = answer.ok;
          const names = new Set(book.stages.map(({ code }) => code));
          for (const { steps } of book.routes) {
            for (const step of steps) expect(names.has(step.stage)).toBe(true);
          }
        }
        const now = routesNow(book);
        if (now === null) throw new Error('the routes are gone');
        expect(
          alg.isAcyclic(
            graphOf(
              now.steps.map((step) => step.stage),
              now.needs,
            ),
          ),
        ).toBe(true);
        for (const job of JOBS) {
          const route = routeOfJob(now, job);
          expect(faultsOf(route)).toEqual([]);
          // The stage that closes the pair is reached, and nothing waits behind it.
          expect(sorted(from(graphOfRoute(route), book.closingStage))).toEqual([book.closingStage]);
          const done = new Set<StageCode>();
          for (let next = dueNow(route, done)[0]; next !== undefined; next = dueNow(route, done)[0]) {
            done.add(next);
          }
          expect(done.has(book.closingStage)).toBe(true);
        }
      }),
      { numRuns: 100 },
    );
    expect(stood).toBeGreaterThan(100);
  });
});

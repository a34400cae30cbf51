/**
 * A route: the stages that one job needs, as a partial order. A pair has several open fronts at once (its last is
 * looked for, its soles mellow, its heel is built beside the line), so there is never one «current stage».
 *
 * A stage that the job leaves out hands its own needs on: what came before it must still come before what follows
 * it. Otherwise a heel-only job, which skips heel attaching, could be topped before it was ever looked over.
 */
import type { StageCode } from './ids.ts';

export interface RouteStep {
  readonly stage: StageCode;
  /** `if-needed` steps are done where a note or a person asks for them, and are not missed otherwise. */
  readonly need: 'always' | 'if-needed';
  /** Must be finished first. */
  readonly after: readonly StageCode[];
  /** Habit of the house: a remark, never a block. */
  readonly usuallyAfter: readonly StageCode[];
}

export type Route = readonly RouteStep[];

export interface Need {
  readonly stage: StageCode;
  readonly needs: StageCode;
  readonly kind: 'hard' | 'usual';
}

/**
 * The route of a job out of the site's stages and their order.
 * @param stages in the usual order, with how far this job needs each
 */
export function routeOf(
  stages: readonly { readonly stage: StageCode; readonly need: 'always' | 'if-needed' | 'never' }[],
  needs: readonly Need[],
): Route {
  const taken = new Set(stages.filter(({ need }) => need !== 'never').map(({ stage }) => stage));
  const before = (kind: Need['kind']) => (stage: StageCode) =>
    needs.filter((need) => need.stage === stage && need.kind === kind).map((need) => need.needs);
  return stages.flatMap(({ stage, need }) =>
    need === 'never'
      ? []
      : [
          {
            stage,
            need,
            after: throughSkipped(stage, before('hard'), (code) => taken.has(code)),
            usuallyAfter: before('usual')(stage).filter((code) => taken.has(code)),
          },
        ],
  );
}

/** The nearest stages before `stage` that are `taken`, walking on through those that are not. */
function throughSkipped(
  stage: StageCode,
  before: (stage: StageCode) => readonly StageCode[],
  taken: (stage: StageCode) => boolean,
): readonly StageCode[] {
  const met = new Set<StageCode>();
  const found = new Set<StageCode>();
  const walk = [...before(stage)];
  for (let next = walk.pop(); next !== undefined; next = walk.pop()) {
    if (met.has(next)) continue;
    met.add(next);
    if (taken(next)) found.add(next);
    else walk.push(...before(next));
  }
  return [...found];
}

export type RouteFault =
  | { readonly fault: 'ring'; readonly stages: readonly StageCode[] }
  | { readonly fault: 'twice'; readonly stage: StageCode }
  | { readonly fault: 'needs-unknown'; readonly stage: StageCode; readonly needs: StageCode }
  | { readonly fault: 'empty' };

/** What is wrong with a route, each fault with its stages by name; none when it can be worked. */
export function faultsOf(route: Route): readonly RouteFault[] {
  if (route.length === 0) return [{ fault: 'empty' }];
  const codes = route.map(({ stage }) => stage);
  const twice = codes.filter((stage, index) => codes.indexOf(stage) !== index);
  const unknown = route.flatMap(({ stage, after }) =>
    after
      .filter((needs) => !codes.includes(needs))
      .map((needs) => ({ fault: 'needs-unknown' as const, stage, needs })),
  );
  const stuck = codes.filter((stage) => !inWorkingOrder(route).includes(stage));
  return [
    ...[...new Set(twice)].map((stage) => ({ fault: 'twice' as const, stage })),
    ...unknown,
    ...(stuck.length > 0 && unknown.length === 0 ? [{ fault: 'ring' as const, stages: stuck }] : []),
  ];
}

/** The stages so that each stands after its needs, in the site's usual order where the needs leave a choice. */
export function inWorkingOrder(route: Route): readonly StageCode[] {
  const placed: StageCode[] = [];
  let waiting = [...route];
  for (;;) {
    const next = waiting.find(({ after }) => after.every((needs) => placed.includes(needs)));
    if (next === undefined) return placed;
    placed.push(next.stage);
    waiting = waiting.filter((step) => step !== next);
  }
}

/**
 * What must still be finished before `stage`: the nearest undone stages, walking through those that are only done
 * if needed and that nobody has asked for. Empty for a stage that is not on the route.
 * @param done finished and not to be done again
 * @param asked `if-needed` stages that this pair does need
 */
export function missingBefore(
  route: Route,
  stage: StageCode,
  done: ReadonlySet<StageCode>,
  asked: ReadonlySet<StageCode> = new Set(),
): readonly StageCode[] {
  const steps = new Map(route.map((step) => [step.stage, step]));
  const owed = (code: StageCode) => steps.get(code)?.need === 'always' || asked.has(code);
  const missing = new Set<StageCode>();
  const met = new Set<StageCode>();
  const walk = [...(steps.get(stage)?.after ?? [])];
  for (let next = walk.pop(); next !== undefined; next = walk.pop()) {
    if (met.has(next) || done.has(next)) continue;
    met.add(next);
    if (owed(next)) missing.add(next);
    else walk.push(...(steps.get(next)?.after ?? []));
  }
  return route.map((step) => step.stage).filter((code) => missing.has(code));
}

/** The open fronts: the stages that can be worked on now. */
export function dueNow(
  route: Route,
  done: ReadonlySet<StageCode>,
  asked: ReadonlySet<StageCode> = new Set(),
): readonly StageCode[] {
  return route
    .filter(({ stage, need }) => !done.has(stage) && (need === 'always' || asked.has(stage)))
    .filter(({ stage }) => missingBefore(route, stage, done, asked).length === 0)
    .map(({ stage }) => stage);
}

/** What must be done again when a pair goes back to `stage`: that stage and all that stand on it. */
export function redoFrom(route: Route, stage: StageCode): ReadonlySet<StageCode> {
  const redo = new Set<StageCode>([stage]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const step of route) {
      if (redo.has(step.stage) || !step.after.some((needs) => redo.has(needs))) continue;
      redo.add(step.stage);
      grown = true;
    }
  }
  return redo;
}

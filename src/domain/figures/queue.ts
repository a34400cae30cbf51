/** How many pairs waited at a stage over a shift: the step function behind the chart. */
import type { Span } from '../calendar/calendar.ts';
import type { StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { PairFacts } from './facts.ts';
import { shareOf } from './member.ts';

export interface Step {
  readonly at: Instant;
  /** Pairs waiting from then on, one shoe as half. */
  readonly waiting: number;
}

/** A step at the span's beginning and one at each change within it, by stage; stages without any wait in it are left out. */
export function queuesOver(all: readonly PairFacts[], span: Span): ReadonlyMap<StageCode, readonly Step[]> {
  const changes = new Map<StageCode, Map<Instant, number>>();
  const change = (stage: StageCode, at: Instant, by: number) => {
    const held = changes.get(stage) ?? new Map<Instant, number>([[span.from, 0]]);
    changes.set(stage, held);
    held.set(at, (held.get(at) ?? 0) + by);
  };
  for (const { waits } of all)
    for (const { stage, shoe, from, to } of waits) {
      if (from >= span.to || (to !== null && to <= span.from)) continue;
      change(stage, Math.max(from, span.from), shareOf(shoe));
      if (to !== null && to < span.to) change(stage, to, -shareOf(shoe));
    }
  return new Map([...changes].map(([stage, held]) => [stage, steps(held)]));
}

function steps(changes: ReadonlyMap<Instant, number>): readonly Step[] {
  let waiting = 0;
  const all = [...changes]
    .sort(([one], [other]) => one - other)
    .map(([at, by]) => {
      waiting += by;
      return { at, waiting };
    });
  return all.filter((step, index) => index === 0 || step.waiting !== all[index - 1]?.waiting);
}

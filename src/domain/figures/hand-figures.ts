/** What each hand was on for, worked and finished in a shift. */
import type { Span } from '../calendar/calendar.ts';
import type { OperativeId, StageCode } from '../ids.ts';
import type { AtStage } from './at-stage.ts';
import type { Presence } from './attendance.ts';
import { grouped } from './grouped.ts';
import { eachPairOnce, type OnShoe, totalMs } from './member.ts';
import { isFinishedIn } from './moment.ts';
import type { OffTime } from './off-time.ts';
import { onTimeOf } from './on-time.ts';
import type { HandFigures } from './sheet.ts';
import { type Touch, touchMembers } from './touch.ts';

export interface HandsInput {
  readonly stages: ReadonlyMap<StageCode, AtStage>;
  /** Within the shift. */
  readonly touched: readonly Touch[];
  readonly on: readonly Presence[];
}

/** Everybody who was on, worked or finished something, by their ids. */
export function handFigures(input: HandsInput, span: Span, off: OffTime): readonly HandFigures[] {
  const finished = finishedBy(input.stages, span);
  const touched = grouped(input.touched, ({ hand }) => hand);
  const on = grouped(input.on, ({ hand }) => hand);
  const hands = new Set<OperativeId>([...finished.keys(), ...touched.keys(), ...on.keys()]);
  return [...hands].sort().map((hand) => {
    const touch = touchMembers(touched.get(hand) ?? []);
    return {
      hand,
      onMs: onTimeOf(hand, on.get(hand) ?? [], touched.get(hand) ?? [], span, off),
      on: on.get(hand) ?? [],
      touchMs: totalMs(touch),
      touch,
      stages: [...(finished.get(hand) ?? [])].map(([stage, out]) => ({ stage, out: eachPairOnce(out) })),
    };
  });
}

type Finished = ReadonlyMap<OperativeId, ReadonlyMap<StageCode, readonly OnShoe[]>>;

function finishedBy(stages: ReadonlyMap<StageCode, AtStage>, span: Span): Finished {
  const hands = new Map<OperativeId, Map<StageCode, OnShoe[]>>();
  for (const [stage, { spells }] of stages)
    for (const { facts, fact } of spells) {
      if (!isFinishedIn(fact, span)) continue;
      for (const { hand } of fact.hands) {
        const of = hands.get(hand) ?? new Map<StageCode, OnShoe[]>();
        hands.set(hand, of);
        const held = of.get(stage) ?? [];
        of.set(stage, held);
        held.push({ pair: facts.pair, shoe: fact.shoe, records: [fact.endedBy ?? fact.id] });
      }
    }
  return hands;
}

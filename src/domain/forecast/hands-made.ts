/** Hands, benches and the shifts to come as tables. */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { StageCode } from '../ids.ts';
import { type CrewHistory, type HandHistory, shiftKey } from './hands.ts';
import type { BenchTables, HandTables, StageTables } from './line.ts';
import type { Numbers } from './numbers.ts';
import { rowsOf } from './rows.ts';
import { type TickClock, type Timeline, tickClock, tickOf } from './timeline.ts';

/** One hand as it will come. */
export interface ComingHand {
  readonly key: string;
  readonly turns: readonly { readonly bench: string; readonly stages: readonly StageCode[] }[];
  readonly comes: HandHistory['comes'];
}

/**
 * The hands of the history; and for each of `stages` that nobody did in that time, somebody who comes to every shift,
 * or its pairs would stand there for ever.
 */
export function comingHands(
  { hands }: CrewHistory,
  stages: readonly StageCode[],
  shifts: readonly ShiftSpan[],
): readonly ComingHand[] {
  const known = new Set(hands.flatMap(({ turns }) => turns.flatMap((turn) => turn.stages)));
  const always = new Map(shifts.map((shift) => [shiftKey(shift), 1]));
  const anybody = stages
    .filter((stage) => !known.has(stage))
    .map((stage) => ({
      key: `anybody at ${stage}`,
      turns: [{ bench: `any bench for ${stage}`, stages: [stage] }],
      comes: always,
    }));
  return [...hands.filter(({ turns }) => turns.length > 0), ...anybody];
}

export function handsMade(
  hands: readonly ComingHand[],
  shifts: readonly ShiftSpan[],
  timeline: Timeline,
  numbers: Numbers,
): HandTables {
  const ahead = shifts.filter(({ to }) => to > timeline.now);
  const clocks: TickClock[] = [];
  const kinds = new Map<string, number>();
  const clockOf = ({ comes }: ComingHand) => {
    const kind = [...comes.keys()].sort().join(' ');
    const held = kinds.get(kind);
    if (held !== undefined) return held;
    kinds.set(kind, clocks.length);
    return (
      clocks.push(
        tickClock(
          timeline,
          ahead.filter((shift) => comes.has(shiftKey(shift))),
        ),
      ) - 1
    );
  };
  const comings = hands
    .flatMap(({ comes }, hand) =>
      ahead.flatMap((shift) => {
        const share = comes.get(shiftKey(shift)) ?? 0;
        const at = Math.max(0, tickOf(timeline, shift.from));
        return share === 0 ? [] : [{ hand, share, at, end: tickOf(timeline, shift.to) }];
      }),
    )
    .sort((a, b) => a.at - b.at || a.hand - b.hand);
  const turns = hands.map((hand) => hand.turns);
  const stagesOfTurns = rowsOf(turns.flat().map(({ stages }) => stages.map(numbers.stage)));
  return {
    count: hands.length,
    clock: Int32Array.from(hands, clockOf),
    clocks,
    shiftAt: Int32Array.from(comings, ({ at }) => at),
    shiftHand: Int32Array.from(comings, ({ hand }) => hand),
    shiftEnd: Int32Array.from(comings, ({ end }) => end),
    shiftShare: Float64Array.from(comings, ({ share }) => share),
    turnsFrom: rowsOf(turns.map((own) => own.map((_, index) => index))).from,
    turnBench: Int32Array.from(turns.flat(), ({ bench }) => numbers.bench(bench)),
    turnStagesFrom: stagesOfTurns.from,
    turnStage: Uint8Array.from(stagesOfTurns.all),
  };
}

export function benchesMade(
  hands: readonly ComingHand[],
  { room }: CrewHistory,
  numbers: Numbers,
): BenchTables {
  const rooms = new Map<string, number>(room);
  const stages = numbers.benches.map((bench) => {
    const done = hands.flatMap(({ turns }) =>
      turns.filter((turn) => turn.bench === bench).flatMap((turn) => turn.stages),
    );
    return [...new Set(done)].map(numbers.stage).sort((a, b) => a - b);
  });
  const rows = rowsOf(stages);
  return {
    count: numbers.benches.length,
    room: Int32Array.from(numbers.benches, (bench) => rooms.get(bench) ?? 1),
    stagesFrom: rows.from,
    stage: Uint8Array.from(rows.all),
  };
}

/** For each stage who does it and at which bench, those before all others whose usual bench it is. */
export function handsOfStages(
  hands: readonly ComingHand[],
  numbers: Numbers,
): Pick<StageTables, 'handsFrom' | 'hand' | 'handBench'> {
  const doing = numbers.stages.map((stage) =>
    hands
      .flatMap(({ turns }, hand) =>
        turns.flatMap(({ bench, stages }, turn) =>
          stages.includes(stage) ? [{ hand, bench: numbers.bench(bench), turn }] : [],
        ),
      )
      .sort((a, b) => a.turn - b.turn || a.hand - b.hand),
  );
  return {
    handsFrom: rowsOf(doing.map((all) => all.map(({ hand }) => hand))).from,
    hand: Int32Array.from(doing.flat(), ({ hand }) => hand),
    handBench: Int32Array.from(doing.flat(), ({ bench }) => bench),
  };
}

/**
 * Lines and histories for the tests of the forecast, written down by hand: each stage has as many hands as are given,
 * nothing settles, nobody is set aside or sent back, and everybody comes to every shift.
 */
import type { ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import type { PairAhead, StepAhead } from '../../src/domain/forecast/ahead.ts';
import { type HandHistory, shiftKey } from '../../src/domain/forecast/hands.ts';
import type { History, Site } from '../../src/domain/forecast/history.ts';
import type { Line } from '../../src/domain/forecast/line.ts';
import { tickClock } from '../../src/domain/forecast/timeline.ts';
import { asBenchId, asPairId, asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import { MONDAY_8, siteBook } from '../support/builders.ts';

/** One stage that never closes, to which pairs come at random; times in ticks, each about exponential. */
export function queueLine({
  ticks,
  every,
  mean,
  hands,
}: {
  readonly ticks: number;
  readonly every: number;
  readonly mean: number;
  readonly hands: number;
}): Line {
  const timeline = { now: 0, tickMs: 1, ticks };
  const clock = tickClock(timeline, [{ name: '', day: '', from: 0, to: ticks, breaks: [], overtime: false }]);
  // Every quantile of the distribution once, in the middle of its step.
  const samples = Array.from({ length: 65_536 }, (_, rank) => -mean * Math.log(1 - (rank + 0.5) / 65_536));
  const ints = (...numbers: readonly number[]) => Int32Array.from(numbers);
  const each = Int32Array.from({ length: hands }, (_, hand) => hand);
  const oneEach = Int32Array.from({ length: hands + 1 }, (_, hand) => hand);
  return {
    ticks,
    order: 'due',
    pools: { from: ints(0, samples.length, samples.length + 1), values: Float64Array.from([...samples, 0]) },
    stages: {
      count: 1,
      pool: ints(0),
      paceError: new Float64Array(1),
      settleLeast: new Float64Array(1),
      settleMost: new Float64Array(1),
      aside: new Uint16Array(1),
      back: new Uint16Array(1),
      chainsFrom: ints(0, 0),
      chainFrom: ints(0),
      chainStage: new Uint8Array(0),
      handsFrom: ints(0, hands),
      hand: each,
      handBench: new Int32Array(hands),
    },
    hands: {
      count: hands,
      clocks: [clock],
      clock: new Int32Array(hands),
      shiftAt: new Int32Array(hands),
      shiftHand: each,
      shiftEnd: new Int32Array(hands).fill(ticks),
      shiftShare: new Float64Array(hands).fill(1),
      turnsFrom: oneEach,
      turnBench: new Int32Array(hands),
      turnStagesFrom: oneEach,
      turnStage: new Uint8Array(hands),
    },
    benches: { count: 1, room: ints(hands), stagesFrom: ints(0, 1), stage: new Uint8Array(1) },
    steps: {
      stage: new Uint8Array(1),
      pool: ints(0),
      share: Float64Array.from([1]),
      needs: new Uint8Array(1),
      dueAt: ints(0),
      settles: Int16Array.from([-1]),
      hand: ints(-1),
      bench: ints(-1),
      followFrom: ints(0, 0),
      follow: ints(),
    },
    ways: {
      open: 0,
      from: ints(0, 1),
      closing: ints(0),
      last: ints(-1),
      holdsLast: new Uint8Array(1),
      held: ints(-1),
      promise: ints(0),
    },
    arrivals: { every, clock, kinds: 1, most: 4000 },
    near: 0,
    rush: 0,
    outOfTurn: 1,
    lasts: 0,
    asidePool: 0,
    owner: -1,
    lastFrom: -1,
    lastTo: -1,
  };
}

export const ONE = asStageCode('ONE');
export const TWO = asStageCode('TWO');
export const OUT = asStageCode('OUT');

/** Monday to Friday from eight to four, without breaks, but for the days that are shut. */
export function weekdays(days: number, shut: readonly number[] = []): readonly ShiftSpan[] {
  return Array.from({ length: days }, (_, day) => day)
    .filter((day) => day % 7 < 5 && !shut.includes(day))
    .map((day) => shiftOn(day));
}

function shiftOn(day: number): ShiftSpan {
  const from = MONDAY_8 + day * DAY_MS;
  const date = new Date(from).toISOString().slice(0, 10);
  return { name: 'Day', day: date, from, to: from + 8 * HOUR_MS, breaks: [], overtime: false };
}

/** The three stages one after the other, for every job. */
export function tandem(shifts: readonly ShiftSpan[], told: Parameters<typeof siteBook>[0] = {}): Site {
  const stages = [ONE, TWO, OUT];
  return {
    shifts,
    book: siteBook({
      timeZone: 'UTC',
      closingStage: OUT,
      stages: stages.map((code) => ({
        code,
        name: code,
        plain: code,
        machine: false,
        reminds: false,
        settles: null,
      })),
      routes: [
        {
          version: 1,
          since: 0,
          steps: stages.map((stage) => ({ stage, need: ['always', 'always', 'always', 'always', 'always'] })),
          needs: [
            { stage: TWO, needs: ONE, kind: 'hard' },
            { stage: OUT, needs: TWO, kind: 'hard' },
          ],
        },
      ],
      ...told,
    }),
  };
}

/** One hand at each stage, always there, and these minutes for every visit; nobody new comes. */
export function steadyHistory(
  { shifts }: Site,
  minutes: Readonly<Record<string, readonly number[]>>,
  told: Partial<History> = {},
): History {
  const comes = new Map(shifts.map((shift) => [shiftKey(shift), 1]));
  const hands: readonly HandHistory[] = Object.keys(minutes).map((stage) => ({
    key: `hand of ${stage}`,
    turns: [{ bench: asBenchId(`bench-${stage}`), stages: [asStageCode(stage)] }],
    comes,
  }));
  const visits = Object.entries(minutes).flatMap(([stage, all]) =>
    // So often that there is no doubt about their mean.
    Array.from({ length: 400 }, () => all)
      .flat()
      .map((one) => ({ stage: asStageCode(stage), job: null, ms: one * MINUTE_MS })),
  );
  const lengths = { ms: [DAY_MS], assumed: false };
  return {
    since: MONDAY_8 - 28 * DAY_MS,
    now: MONDAY_8,
    spells: visits.length,
    weeks: 4,
    visits,
    touch: new Map(),
    takeUp: { site: 0, stages: new Map() },
    crew: { hands, room: new Map() },
    holds: { owner: lengths, aside: lengths, stopped: lengths, asideShare: new Map() },
    returns: new Map(),
    comings: { everyMs: null, like: [], needs: () => 0.5 },
    turns: { nearMs: 0, rushMs: 0, outOfTurnMs: [0] },
    ...told,
  };
}

/** A pair that has these stages to go, one after the other, the first of them due since. */
export function pairAhead(
  name: string,
  stages: readonly StageCode[],
  told: Partial<PairAhead> & { readonly since?: Instant; readonly step?: Partial<StepAhead> } = {},
): PairAhead {
  const { since = MONDAY_8 - HOUR_MS, step = {}, ...rest } = told;
  return {
    pair: asPairId(name),
    job: 'FB',
    loggedAt: since,
    promised: null,
    steps: stages.map((stage, index) => ({
      stage,
      after: stages.slice(Math.max(0, index - 1), index),
      sure: true,
      since,
      settles: null,
      begun: [],
      open: null,
      ...(index === 0 ? step : {}),
    })),
    last: null,
    holdsLast: false,
    hold: null,
    stopped: false,
    ...rest,
  };
}

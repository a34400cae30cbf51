/** Many runs of the line, and what came of each open pair in them. */
import type { Line } from './line.ts';
import { Run } from './run.ts';
import { FIELDS } from './step-record.ts';

const { AFTER, BEGUN_AT, DONE_AT, QUEUED_AT, READY_AT, SETTLED_AT } = FIELDS;

/** What a pair waited for, besides the queues of the stages; `sent-back` is all that a return costs it. */
export const CAUSES = ['owner', 'last', 'settling', 'set-aside', 'sent-back', 'work'] as const;
export type Cause = (typeof CAUSES)[number];

const cause = (is: Cause) => CAUSES.indexOf(is);
const [OWNER, LAST, SETTLING, ASIDE, SENT_BACK, WORK] = CAUSES.map(cause) as [
  number,
  number,
  number,
  number,
  number,
  number,
];

export interface Outcome {
  readonly runs: number;
  /** The ticks at which each pair was ready, least first, pair after pair; the line's end where it was not. */
  readonly ready: Int32Array;
  /** For each pair the ticks on its way that it stood in each stage's queue, and then by cause; of all runs together. */
  readonly waits: Float64Array;
  /** Of all runs together. */
  readonly served: Float64Array;
  readonly stoodTicks: Float64Array;
}

export function simulate(
  line: Line,
  { runs, seed }: { readonly runs: number; readonly seed: number },
): Outcome {
  const { open } = line.ways;
  const run = new Run(line, seed);
  const ready = new Int32Array(open * runs);
  const waits = new Float64Array(open * (line.stages.count + CAUSES.length));
  for (let nth = 0; nth < runs; nth += 1) {
    run.go();
    for (let pair = 0; pair < open; pair += 1) {
      const at = run.closedAt[pair] ?? 0;
      ready[pair * runs + nth] = at;
      if (at < line.ticks) addWaits(line, run, pair, waits);
    }
  }
  for (let pair = 0; pair < open; pair += 1) ready.subarray(pair * runs, (pair + 1) * runs).sort();
  return { runs, ready, waits, served: run.served, stoodTicks: run.stoodTicks };
}

/** Back from the closing along the steps that each waited for longest. */
function addWaits({ stages, owner }: Line, run: Run, pair: number, waits: Float64Array): void {
  const first = pair * (stages.count + CAUSES.length);
  const add = (to: number, ticks: number) => {
    if (ticks > 0) waits[first + to] = (waits[first + to] ?? 0) + ticks;
  };
  let step = run.closingStep(pair);
  while (step >= 0) {
    const after = run.of(step, AFTER);
    const from = after < 0 ? 0 : run.of(after, DONE_AT);
    const settled = Math.max(from, run.of(step, SETTLED_AT));
    const [ready, queued, begun, done] = [
      run.of(step, READY_AT),
      run.of(step, QUEUED_AT),
      run.of(step, BEGUN_AT),
      run.of(step, DONE_AT),
    ];
    const stage = run.stageOf(step);
    add(stages.count + SETTLING, settled - from);
    add(stages.count + ASIDE, ready - settled);
    if (stage === owner) add(stages.count + OWNER, done - ready);
    else {
      const last = run.hadReturn(step) ? 0 : queued - ready;
      add(stages.count + LAST, last);
      add(stage, begun - queued);
      add(stages.count + WORK, done - begun);
      add(stages.count + SENT_BACK, queued - ready - last);
    }
    step = after;
  }
}

/** The pairs that wait before each stage. */
import type { StageCode } from '../src/domain/ids.ts';
import { DAY_MS, type Instant } from '../src/domain/instant.ts';
import { isDue, type PairOnLine, stagesNowDue } from './pairs.ts';

interface Waiting {
  readonly pair: PairOnLine;
  readonly stage: StageCode;
  readonly readyAt: Instant;
}

export interface Choice {
  readonly stage: StageCode;
  readonly pairs: readonly PairOnLine[];
}

export class Queues {
  readonly #waiting = new Map<StageCode, Waiting[]>();
  readonly #isFree: (pair: PairOnLine, stage: StageCode, now: Instant) => boolean;

  /** @param isFree whether what the stage needs besides the pair, its lasts, is free */
  constructor(isFree: (pair: PairOnLine, stage: StageCode, now: Instant) => boolean) {
    this.#isFree = isFree;
  }

  /** Puts the pair before each stage that is due now and where it does not wait yet. */
  admit(pair: PairOnLine): void {
    for (const stage of stagesNowDue(pair)) {
      const needs = pair.route.get(stage) ?? [];
      const settled = needs.map((need) => pair.done.get(need)?.settledAt ?? 0);
      this.#add({ pair, stage, readyAt: Math.max(pair.loggedAt, ...settled) });
    }
  }

  /** Puts the pair back before a stage that was begun and not finished. */
  putBack(pair: PairOnLine, stage: StageCode, readyAt: Instant): void {
    this.#add({ pair, stage, readyAt });
  }

  /** Takes out what is best done next at one of these stages: one pair, or up to `most` of the same stage. */
  take(stages: readonly StageCode[], now: Instant, most: (stage: StageCode) => number): Choice | null {
    const ready = stages
      .flatMap((stage) => this.#readyAt(stage, now))
      .sort((a, b) => turnOf(a, now) - turnOf(b, now));
    const [first] = ready;
    if (first === undefined) return null;
    const { stage } = first;
    const taken = ready.filter((waiting) => waiting.stage === stage).slice(0, most(stage));
    this.#waiting.set(
      stage,
      (this.#waiting.get(stage) ?? []).filter((waiting) => !taken.includes(waiting)),
    );
    for (const { pair } of taken) pair.queued.delete(stage);
    return { stage, pairs: taken.map(({ pair }) => pair) };
  }

  #add(waiting: Waiting): void {
    const { pair, stage } = waiting;
    pair.queued.add(stage);
    const queue = this.#waiting.get(stage);
    if (queue === undefined) this.#waiting.set(stage, [waiting]);
    else queue.push(waiting);
  }

  #readyAt(stage: StageCode, now: Instant): readonly Waiting[] {
    const queue = this.#waiting.get(stage) ?? [];
    const due = queue.filter(({ pair }) => isDue(pair, stage));
    if (due.length < queue.length) {
      // A pair that was sent back no longer waits for what comes after.
      for (const waiting of queue) if (!due.includes(waiting)) waiting.pair.queued.delete(stage);
      this.#waiting.set(stage, due);
    }
    return due.filter(
      ({ pair, readyAt }) =>
        Math.max(readyAt, pair.busyUntil, pair.heldUntil) <= now && this.#isFree(pair, stage, now),
    );
  }
}

/** First come, first done; what was sent back or is nearly late goes before its time. */
function turnOf({ pair, readyAt }: Waiting, now: Instant): number {
  const sentBackMs = pair.timesSentBack > 0 ? DAY_MS / 2 : 0;
  const rushMs = now > pair.lateFrom - 2 * DAY_MS ? DAY_MS : 0;
  return readyAt - sentBackMs - rushMs;
}

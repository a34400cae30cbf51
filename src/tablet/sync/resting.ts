/** The loop's rest: it ends with time, or at once for a reason that is good enough for this rest. */

/** What may be a reason to go at once: a new record, the network, the page being shown, the live stream, a person. */
export type WakeReason = 'record' | 'online' | 'shown' | 'live' | 'asked';

export interface Rest {
  readonly ms: number;
  readonly mayWake: (reason: WakeReason) => boolean;
  /** Asked once the rest can be woken, so that nothing is missed in between: true ends it before it begins. */
  readonly needless: () => Promise<boolean>;
}

export class Resting {
  readonly #sleep: (ms: number, signal: AbortSignal) => Promise<void>;
  readonly #meanwhile = new Set<WakeReason>();
  #onReason: ((reason: WakeReason) => void) | null = null;

  constructor(sleep: (ms: number, signal: AbortSignal) => Promise<void>) {
    this.#sleep = sleep;
  }

  get now(): boolean {
    return this.#onReason !== null;
  }

  /** Ends the rest, or the next one where none is on: what asks while a round is under way has had no answer yet. */
  wake(reason: WakeReason): void {
    if (this.#onReason === null) this.#meanwhile.add(reason);
    else this.#onReason(reason);
  }

  /** A round begins, and answers all reasons so far. */
  over(): void {
    this.#meanwhile.clear();
  }

  async rest({ ms, mayWake, needless }: Rest, signal: AbortSignal): Promise<void> {
    const woken = new AbortController();
    const wake = () => woken.abort();
    const onReason = (reason: WakeReason) => {
      if (mayWake(reason)) wake();
    };
    this.#onReason = onReason;
    for (const reason of this.#meanwhile) onReason(reason);
    signal.addEventListener('abort', wake);
    if (signal.aborted || (await needless())) wake();
    if (!woken.signal.aborted) await this.#sleep(ms, woken.signal);
    signal.removeEventListener('abort', wake);
    this.#onReason = null;
  }
}

/** The life of one process on a tablet. It ends before or after one of the calls that it makes of what is around it. */

export type Step = 'lives' | 'dies-before' | 'dies-after';

export class Life {
  readonly #onEnd: () => void;
  #alive = true;
  #calls = Infinity;
  #when: 'before' | 'after' = 'before';

  constructor(onEnd: () => void) {
    this.#onEnd = onEnd;
  }

  get alive(): boolean {
    return this.#alive;
  }

  /** Ends at the nth call from now on, before it does anything or after it has done all. */
  endAt(calls: number, when: 'before' | 'after'): void {
    this.#calls = calls;
    this.#when = when;
  }

  /** Counts a call. */
  step(): Step {
    this.#calls -= 1;
    if (this.#calls > 0) return 'lives';
    return this.#when === 'before' ? 'dies-before' : 'dies-after';
  }

  end(): void {
    if (!this.#alive) return;
    this.#alive = false;
    this.#onEnd();
  }
}

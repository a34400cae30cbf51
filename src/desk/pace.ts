/**
 * Lets something run at once when it is asked for, but never twice at a time and never oftener than every
 * `everyMs`. Whatever is asked meanwhile becomes one further run, so the last asking is never lost.
 */
export interface Timers {
  /** Milliseconds on a clock that goes on while the machine sleeps; only differences are used. */
  now(): number;
  /** @returns what calls it off */
  later(run: () => void, ms: number): () => void;
}

export class Pace {
  readonly #everyMs: number;
  readonly #timers: Timers;
  readonly #run: () => Promise<void>;
  #startedAt: number | null = null;
  #running = false;
  #asked = false;
  #callOff: (() => void) | null = null;
  #stopped = false;

  /** @param run must not reject: what goes wrong in it is its own affair */
  constructor(everyMs: number, timers: Timers, run: () => Promise<void>) {
    this.#everyMs = everyMs;
    this.#timers = timers;
    this.#run = run;
  }

  ask(): void {
    this.#asked = true;
    this.#next();
  }

  stop(): void {
    this.#stopped = true;
    this.#callOff?.();
  }

  #next(): void {
    if (this.#stopped || !this.#asked || this.#running || this.#callOff !== null) return;
    const waitMs = waitFor(this.#startedAt, this.#timers.now(), this.#everyMs);
    if (waitMs === 0) {
      void this.#start();
      return;
    }
    this.#callOff = this.#timers.later(() => {
      this.#callOff = null;
      void this.#start();
    }, waitMs);
  }

  async #start(): Promise<void> {
    this.#asked = false;
    this.#running = true;
    this.#startedAt = this.#timers.now();
    await this.#run();
    this.#running = false;
    this.#next();
  }
}

/** Milliseconds until the next start may be; a clock that was set back never holds it longer than `everyMs`. */
export function waitFor(startedAt: number | null, now: number, everyMs: number): number {
  return startedAt === null ? 0 : Math.min(everyMs, Math.max(0, startedAt + everyMs - now));
}

/** Gathers samples into the pools that a run draws from. */
import type { Lengths } from './holds.ts';
import type { Pools } from './line.ts';

export class PoolsMade {
  readonly #from: number[] = [0];
  readonly #values: number[] = [];
  readonly #shared = new Map<readonly number[], number>();
  readonly #tickMs: number;

  constructor(tickMs: number) {
    this.#tickMs = tickMs;
  }

  /** @param ms at least one length; returns the pool's number */
  add(ms: readonly number[]): number {
    if (ms.length === 0) throw new RangeError('a pool of nothing');
    for (const one of ms) this.#values.push(one / this.#tickMs);
    this.#from.push(this.#values.length);
    return this.#from.length - 2;
  }

  /** The same list gives the same pool again. */
  shared(ms: readonly number[]): number {
    const held = this.#shared.get(ms);
    if (held !== undefined) return held;
    const pool = this.add(ms);
    this.#shared.set(ms, pool);
    return pool;
  }

  made(): Pools {
    return { from: Int32Array.from(this.#from), values: Float64Array.from(this.#values) };
  }
}

const RESTS_LEAST = 5;
/** Times the time so far: what has lasted long may last as long again. An assumption, no source. */
const LONGER = [0.1, 0.25, 0.5, 1, 2];

/**
 * How long it goes on that has lasted so long already: of the lengths only those that lasted longer, less what is past.
 * Where few did, it is wide instead.
 */
export function restsOf({ ms }: Pick<Lengths, 'ms'>, pastMs: number): readonly number[] {
  const rests = ms.filter((length) => length > pastMs).map((length) => length - pastMs);
  return rests.length >= RESTS_LEAST ? rests : [...rests, ...LONGER.map((times) => times * pastMs)];
}

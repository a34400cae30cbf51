/** What is drawn in a run, from one stream of random numbers. */
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { RandomGenerator } from 'pure-rand/types/RandomGenerator';
import type { Pools, StageTables } from './line.ts';

const TO_UNIT = 2 ** -32;

export class Chance {
  readonly #pools: Pools;
  #source: RandomGenerator = xoroshiro128plus(0);

  constructor(pools: Pools) {
    this.#pools = pools;
  }

  restart(source: RandomGenerator): void {
    this.#source = source;
  }

  /** 32 random bits, as a whole number with its sign. */
  bits(): number {
    return this.#source.next();
  }

  /** 0 inclusive … 1 exclusive */
  unit(): number {
    return (this.#source.next() >>> 0) * TO_UNIT;
  }

  /** About normal, with mean 0 and standard deviation 1: twelve unit draws less their mean. */
  normal(): number {
    let sum = -6;
    for (let draw = 0; draw < 12; draw += 1) sum += this.unit();
    return sum;
  }

  /** Whole ticks, at least one. @param times what the draw is multiplied with */
  ticks(pool: number, bits: number, times = 1): number {
    return Math.max(1, this.length(pool, bits, times));
  }

  /** What is drawn is rounded up or down so that the mean stays. */
  length(pool: number, bits: number, times = 1): number {
    const { from, values } = this.#pools;
    const first = from[pool] ?? 0;
    const place = (bits >>> 0) * TO_UNIT * ((from[pool + 1] ?? 0) - first);
    const index = Math.floor(place);
    return Math.floor((values[first + index] ?? 0) * times + (place - index));
  }

  /** Most waits are near the least: three-cornered with its top there. 0 for a stage after which nothing settles. */
  settling(stages: StageTables, stage: number): number {
    const most = stages.settleMost[stage] ?? 0;
    if (most === 0) return 0;
    const least = stages.settleLeast[stage] ?? 0;
    return Math.round(least + (most - least) * (1 - Math.sqrt(1 - this.unit())));
  }
}

/**
 * What is to happen, by tick: a list for each tick, so that adding and taking cost the same however many wait, and a
 * bit for each tick that has one, so that nights are passed over.
 */
export class Wheel {
  readonly #head: Int32Array;
  readonly #next: Int32Array;
  readonly #marks: Int32Array;
  readonly #ticks: number;

  /** @param things how many things can wait, each for one tick at a time */
  constructor(ticks: number, things: number) {
    this.#ticks = ticks;
    this.#head = new Int32Array(ticks).fill(-1);
    this.#next = new Int32Array(things);
    this.#marks = new Int32Array((ticks >>> 5) + 1);
  }

  clear(): void {
    for (let tick = this.next(0); tick < this.#ticks; tick = this.next(tick)) {
      this.#head[tick] = -1;
      this.#unmark(tick);
    }
  }

  add(thing: number, tick: number): void {
    this.#next[thing] = this.#head[tick] ?? -1;
    this.#head[tick] = thing;
    const word = tick >>> 5;
    this.#marks[word] = (this.#marks[word] ?? 0) | (1 << (tick & 31));
  }

  /** The first tick, `from` or later, at which something is to happen; the number of ticks where there is none. */
  next(from: number): number {
    let word = from >>> 5;
    let bits = (this.#marks[word] ?? 0) & (-1 << (from & 31));
    while (bits === 0) {
      word += 1;
      if (word >= this.#marks.length) return this.#ticks;
      bits = this.#marks[word] ?? 0;
    }
    // The lowest bit that is set.
    return (word << 5) + 31 - Math.clz32(bits & -bits);
  }

  /** Takes one thing of this tick; -1 when there is none left. */
  take(tick: number): number {
    const thing = this.#head[tick] ?? -1;
    if (thing < 0) {
      this.#unmark(tick);
      return -1;
    }
    this.#head[tick] = this.#next[thing] ?? -1;
    return thing;
  }

  #unmark(tick: number): void {
    const word = tick >>> 5;
    this.#marks[word] = (this.#marks[word] ?? 0) & ~(1 << (tick & 31));
  }
}

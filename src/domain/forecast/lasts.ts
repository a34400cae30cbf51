/** The pairs of lasts: each in one pair of shoes at a time, and who waits for it in turn. */
import type { WayTables } from './line.ts';

export class Lasts {
  readonly #holder: Int32Array;
  readonly #first: Int32Array;
  readonly #next: Int32Array;

  constructor(lasts: number, things: number) {
    this.#holder = new Int32Array(lasts);
    this.#first = new Int32Array(lasts);
    this.#next = new Int32Array(things);
  }

  reset({ open, last, holdsLast }: WayTables): void {
    this.#holder.fill(-1);
    this.#first.fill(-1);
    for (let pair = 0; pair < open; pair += 1)
      if (holdsLast[pair] === 1) this.#holder[last[pair] ?? 0] = pair;
  }

  /** Whether the pair has it now; else the step waits for it. */
  take(last: number, pair: number, step: number): boolean {
    const holder = this.#holder[last] ?? -1;
    if (holder < 0 || holder === pair) {
      this.#holder[last] = pair;
      return true;
    }
    this.#next[step] = -1;
    const first = this.#first[last] ?? -1;
    if (first < 0) this.#first[last] = step;
    else this.#next[this.#endOf(first)] = step;
    return false;
  }

  /** The step that waits for it first, and no longer waits; -1 where none does, or another pair holds it. */
  free(last: number, pair: number): number {
    if (this.#holder[last] !== pair) return -1;
    this.#holder[last] = -1;
    const waiting = this.#first[last] ?? -1;
    if (waiting >= 0) this.#first[last] = this.#next[waiting] ?? -1;
    return waiting;
  }

  #endOf(first: number): number {
    let end = first;
    for (let next = this.#next[end] ?? -1; next >= 0; next = this.#next[end] ?? -1) end = next;
    return end;
  }
}

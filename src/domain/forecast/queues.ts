/** The pairs that wait before each stage, by key, and by who came first where keys are the same. */
export class Queues {
  readonly #head: Int32Array;
  readonly #tail: Int32Array;
  readonly #next: Int32Array;
  readonly #previous: Int32Array;
  readonly #key: Int32Array;

  constructor(queues: number, things: number) {
    this.#head = new Int32Array(queues).fill(-1);
    this.#tail = new Int32Array(queues).fill(-1);
    this.#next = new Int32Array(things);
    this.#previous = new Int32Array(things);
    this.#key = new Int32Array(things);
  }

  clear(): void {
    this.#head.fill(-1);
    this.#tail.fill(-1);
  }

  /** From the end forwards: whoever comes later mostly has the greater key. */
  add(queue: number, thing: number, key: number): void {
    let before = this.#tail[queue] ?? -1;
    while (before >= 0 && (this.#key[before] ?? 0) > key) before = this.#previous[before] ?? -1;
    const after = before < 0 ? (this.#head[queue] ?? -1) : (this.#next[before] ?? -1);
    this.#key[thing] = key;
    this.#previous[thing] = before;
    this.#next[thing] = after;
    if (before < 0) this.#head[queue] = thing;
    else this.#next[before] = thing;
    if (after < 0) this.#tail[queue] = thing;
    else this.#previous[after] = thing;
  }

  /** Who goes first; -1 where nobody waits. */
  first(queue: number): number {
    return this.#head[queue] ?? -1;
  }

  keyOf(thing: number): number {
    return this.#key[thing] ?? 0;
  }

  takeFirst(queue: number): number {
    const first = this.#head[queue] ?? -1;
    if (first < 0) return -1;
    const after = this.#next[first] ?? -1;
    this.#head[queue] = after;
    if (after < 0) this.#tail[queue] = -1;
    else this.#previous[after] = -1;
    return first;
  }
}

/**
 * Virtual time. Everything that happens in a run is an event here, and they happen one after the other: the next one
 * begins only when nothing moves any more that the last one set going.
 *
 * What the machine does in its own time (unpacking a body, reading a stream) is *work*: while any is under way,
 * virtual time stands still, so that no event can depend on how quick the machine is.
 */

interface Event {
  readonly at: number;
  readonly order: number;
  readonly run: () => void;
  off: boolean;
}

/** So many turns without an end of the work, and something is wrong with the simulator. */
const TURNS_MAX = 1_000_000;

export class Scheduler {
  now: number;
  events = 0;
  readonly #heap: Event[] = [];
  #order = 0;
  #working = 0;

  constructor(start: number) {
    this.now = start;
  }

  /** @returns calls it off */
  after(ms: number, run: () => void): () => void {
    this.#order += 1;
    const event = { at: this.now + Math.max(0, ms), order: this.#order, run, off: false };
    push(this.#heap, event);
    return () => {
      event.off = true;
    };
  }

  /** Resolves after so long, or at once when the signal is aborted. */
  sleep(ms: number, signal?: AbortSignal): Promise<void> {
    return new Promise((resolve) => {
      if (signal?.aborted) return resolve();
      const done = () => {
        callOff();
        signal?.removeEventListener('abort', done);
        resolve();
      };
      const callOff = this.after(ms, done);
      signal?.addEventListener('abort', done);
    });
  }

  /** Virtual time stands still until the promise is settled, but for what happens `outside`. */
  async work<Made>(does: () => Promise<Made>): Promise<Made> {
    this.#working += 1;
    try {
      return await does();
    } finally {
      this.#working -= 1;
    }
  }

  /** Within work: waits for something that takes virtual time. It may never come, and then the work is over. */
  outside<Made>(
    waits: (resolve: (made: Made) => void, reject: (cause: unknown) => void) => void,
  ): Promise<Made> {
    this.#working -= 1;
    return new Promise<Made>((resolve, reject) => {
      let settled = false;
      const once =
        <Value>(settle: (value: Value) => void) =>
        (value: Value) => {
          if (settled) return;
          settled = true;
          this.#working += 1;
          settle(value);
        };
      waits(once(resolve), once(reject));
    });
  }

  /** Lets happen what is to happen up to `until`; ends sooner where nothing more is to come. */
  async run(until: number): Promise<void> {
    await this.#stillness();
    for (;;) {
      const next = this.#heap[0];
      if (next === undefined || next.at > until) break;
      pop(this.#heap);
      if (next.off) continue;
      this.now = next.at;
      this.events += 1;
      next.run();
      await this.#stillness();
    }
    this.now = Math.max(this.now, until);
  }

  async #stillness(): Promise<void> {
    for (let turn = 0; turn < TURNS_MAX; turn += 1) {
      await new Promise((resolve) => setImmediate(resolve));
      if (this.#working === 0) return;
    }
    throw new Error(`${this.#working} pieces of work never ended`);
  }
}

/** What a process that was killed waits for. */
export function never<Made>(): Promise<Made> {
  return new Promise<Made>(() => undefined);
}

const before = (a: Event, b: Event) => a.at < b.at || (a.at === b.at && a.order < b.order);

function push(heap: Event[], event: Event): void {
  let index = heap.push(event) - 1;
  while (index > 0) {
    const above = (index - 1) >> 1;
    const parent = heap[above];
    if (parent === undefined || before(parent, event)) break;
    heap[index] = parent;
    index = above;
  }
  heap[index] = event;
}

function pop(heap: Event[]): void {
  const last = heap.pop();
  if (last === undefined || heap.length === 0) return;
  let index = 0;
  for (;;) {
    const [left, right] = [heap[index * 2 + 1], heap[index * 2 + 2]];
    if (left === undefined) break;
    const rightFirst = right !== undefined && before(right, left);
    const child = rightFirst ? right : left;
    if (before(last, child)) break;
    heap[index] = child;
    index = index * 2 + (rightFirst ? 2 : 1);
  }
  heap[index] = last;
}

/** The hands of one run: who is there, who is free, and how full each bench is. */
import type { Chance } from './chance.ts';
import type { Line } from './line.ts';
import type { Queues } from './queues.ts';

export class Crew {
  readonly #line: Line;
  readonly #queues: Queues;
  readonly #free: Uint8Array;
  readonly #homeAt: Int32Array;
  readonly #busyAt: Int32Array;
  #shift = 0;
  /** When the next shift of anybody begins. */
  nextShift = 0;
  /** What `choose` and `findFor` have found. */
  hand = -1;
  bench = -1;
  step = -1;

  constructor(line: Line, queues: Queues) {
    this.#line = line;
    this.#queues = queues;
    this.#free = new Uint8Array(line.hands.count);
    this.#homeAt = new Int32Array(line.hands.count);
    this.#busyAt = new Int32Array(line.benches.count);
  }

  reset(): void {
    this.#free.fill(1);
    this.#homeAt.fill(0);
    this.#busyAt.fill(0);
    this.#shift = 0;
    this.nextShift = this.#line.hands.shiftAt[0] ?? this.#line.ticks;
  }

  /** The hand that comes next by now, be it free or not; -1 when all that come now are there. */
  comes(tick: number, chance: Chance): number {
    const { shiftAt, shiftHand, shiftEnd, shiftShare } = this.#line.hands;
    while (this.nextShift <= tick) {
      const shift = this.#shift;
      this.#shift += 1;
      this.nextShift = shiftAt[this.#shift] ?? this.#line.ticks;
      if (chance.unit() >= (shiftShare[shift] ?? 0)) continue;
      const hand = shiftHand[shift] ?? 0;
      const end = shiftEnd[shift] ?? 0;
      if (end > (this.#homeAt[hand] ?? 0)) this.#homeAt[hand] = end;
      return hand;
    }
    return -1;
  }

  isFree(hand: number, tick: number): boolean {
    return this.#free[hand] === 1 && tick < (this.#homeAt[hand] ?? 0);
  }

  /** What the hand does next: at its usual bench what is first in turn there, and only else at another. */
  choose(hand: number): boolean {
    const { turnsFrom, turnBench, turnStagesFrom, turnStage } = this.#line.hands;
    const end = turnsFrom[hand + 1] ?? 0;
    for (let turn = turnsFrom[hand] ?? 0; turn < end; turn += 1) {
      const bench = turnBench[turn] ?? 0;
      if (!this.hasRoom(bench)) continue;
      let queue = -1;
      let least = 0;
      const last = turnStagesFrom[turn + 1] ?? 0;
      for (let row = turnStagesFrom[turn] ?? 0; row < last; row += 1) {
        const stage = turnStage[row] ?? 0;
        const first = this.#queues.first(stage);
        if (first < 0) continue;
        const key = this.#queues.keyOf(first);
        if (queue >= 0 && key >= least) continue;
        queue = stage;
        least = key;
      }
      if (queue < 0) continue;
      this.bench = bench;
      this.step = this.#queues.takeFirst(queue);
      return true;
    }
    return false;
  }

  /** A free hand for the stage, one whose usual bench it is before all others. */
  findFor(stage: number, tick: number): boolean {
    const { handsFrom, hand, handBench } = this.#line.stages;
    const end = handsFrom[stage + 1] ?? 0;
    for (let row = handsFrom[stage] ?? 0; row < end; row += 1) {
      const found = hand[row] ?? 0;
      const bench = handBench[row] ?? 0;
      if (!this.isFree(found, tick) || !this.hasRoom(bench)) continue;
      this.hand = found;
      this.bench = bench;
      return true;
    }
    return false;
  }

  hasRoom(bench: number): boolean {
    return (this.#busyAt[bench] ?? 0) < (this.#line.benches.room[bench] ?? 0);
  }

  begin(hand: number, bench: number): void {
    this.#free[hand] = 0;
    this.#busyAt[bench] = (this.#busyAt[bench] ?? 0) + 1;
  }

  end(hand: number, bench: number): void {
    this.#free[hand] = 1;
    this.#busyAt[bench] = (this.#busyAt[bench] ?? 0) - 1;
  }

  /** It is at work already, in the shift that goes on now. */
  isHere(hand: number): void {
    const { shiftAt, shiftHand, shiftEnd } = this.#line.hands;
    for (let row = 0; row < shiftAt.length && shiftAt[row] === 0; row += 1)
      if (shiftHand[row] === hand) this.#homeAt[hand] = Math.max(this.#homeAt[hand] ?? 0, shiftEnd[row] ?? 0);
  }

  homeAt(hand: number): number {
    return this.#homeAt[hand] ?? 0;
  }

  /** Of so many working ticks begun now, those that the hand does not get done before its shift ends. */
  leftAtHome(hand: number, tick: number, ticks: number): number {
    const worked = this.#line.hands.clocks[this.#line.hands.clock[hand] ?? 0]?.worked;
    if (worked === undefined) return 0;
    const room = (worked[this.#homeAt[hand] ?? 0] ?? 0) - (worked[tick] ?? 0);
    return ticks > room ? ticks - room : 0;
  }

  /** When work of so many working ticks ends that the hand begins now; the line's end where it never does. */
  endOf(hand: number, tick: number, ticks: number): number {
    const clock = this.#line.hands.clocks[this.#line.hands.clock[hand] ?? 0];
    if (clock === undefined) return this.#line.ticks;
    return clock.at[(clock.worked[tick] ?? 0) + ticks] ?? this.#line.ticks;
  }
}

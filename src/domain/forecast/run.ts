/**
 * One way in which the coming weeks may go: every step of every pair is due, waits for its last, its turn and a hand,
 * is worked, settles, and makes the next ones due. A discrete simulation in the order of the ticks.
 */
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { JumpableRandomGenerator } from 'pure-rand/types/JumpableRandomGenerator';
import { Chance } from './chance.ts';
import { Crew } from './crew.ts';
import { Lasts } from './lasts.ts';
import type { Line, WayTables } from './line.ts';
import { Queues } from './queues.ts';
import { Wheel } from './wheel.ts';

const SOON = 1;
const WORKED = 2;
const SHARE_BITS = 0xffff;
/** So often is one step sent back; the next time it is kept here until it is right. */
const RETURNS_MOST = 2;
/** However little is known, nobody works faster than this share of the samples. */
const PACE_LEAST = 0.3;
/**
 * When of the open pairs no more than this share is left, nobody comes any more: the line is full of those who came, and
 * whoever comes now has weeks to go before it could be ahead of a pair that is nearly ready.
 */
const LEFT_LEAST = 0.05;

export class Run {
  readonly #line: Line;
  readonly #source: JumpableRandomGenerator;
  /**
   * Three streams a run: what will become of each pair, who and what comes, and what turns up in the work. So a pair
   * more in the works changes the luck of no other (common random numbers).
   */
  readonly #fate: Chance;
  readonly #outside: Chance;
  readonly #chance: Chance;
  readonly #queues: Queues;
  readonly #crew: Crew;
  readonly #wheel: Wheel;
  readonly #lasts: Lasts;
  /** Of each pair of this run, those to come included. */
  readonly #way: Int32Array;
  readonly #base: Int32Array;
  readonly #comes: Int32Array;
  readonly #heldUntil: Int32Array;
  /** Of each step of each pair of this run. */
  readonly #pairOf: Int32Array;
  readonly #row: Int32Array;
  readonly #stage: Uint8Array;
  readonly #is: Uint8Array;
  readonly #needs: Uint8Array;
  readonly #absent: Uint8Array;
  readonly #returns: Uint8Array;
  readonly #chain: Int32Array;
  readonly #chainEnd: Int32Array;
  readonly #serviceBits: Uint32Array;
  readonly #luckBits: Uint32Array;
  /** Ticks of work left on a step that a shift's end broke off. */
  readonly #rest: Int32Array;
  readonly #key: Int32Array;
  readonly #hand: Int32Array;
  readonly #bench: Int32Array;
  /** Of each stage: how much longer all its work takes in this run than its samples say. */
  readonly #pace: Float64Array;
  /** Places of pairs to come that have gone again: they are used over and over, and stay in the processor's cache. */
  readonly #places: Int32Array;
  #placesLeft = 0;
  #left = 0;
  #nextArrival = 0;
  #arrivalWorked = 0;

  /** Of each step: when the last step before it was done, settled, laid ready, its last there, begun and done. */
  readonly dueAt: Int32Array;
  readonly settledAt: Int32Array;
  readonly readyAt: Int32Array;
  readonly queuedAt: Int32Array;
  readonly begunAt: Int32Array;
  readonly doneAt: Int32Array;
  /** The step that it waited for longest; -1 where it waited for none. */
  readonly after: Int32Array;
  /** Of each open pair: when it was ready, or the line's end. */
  readonly closedAt: Int32Array;
  /** Of each stage: how many were begun there, and how long they had stood in its queue. */
  readonly served: Float64Array;
  readonly stoodTicks: Float64Array;

  constructor(line: Line, seed: number) {
    this.#line = line;
    const pairs = line.ways.open + line.arrivals.most;
    const steps = baseOf(line, pairs);
    this.#source = xoroshiro128plus(seed);
    this.#fate = new Chance(line.pools);
    this.#outside = new Chance(line.pools);
    this.#chance = new Chance(line.pools);
    this.#queues = new Queues(line.stages.count, steps);
    this.#crew = new Crew(line, this.#queues);
    this.#wheel = new Wheel(line.ticks, steps);
    this.#lasts = new Lasts(line.lasts, steps);
    this.#way = new Int32Array(pairs);
    this.#base = new Int32Array(pairs);
    this.#places = new Int32Array(line.arrivals.most);
    this.#pace = new Float64Array(line.stages.count);
    for (let pair = 0; pair < pairs; pair += 1) this.#base[pair] = baseOf(line, pair);
    this.#comes = new Int32Array(pairs);
    this.#heldUntil = new Int32Array(pairs);
    this.#pairOf = new Int32Array(steps);
    this.#row = new Int32Array(steps);
    this.#stage = new Uint8Array(steps);
    this.#is = new Uint8Array(steps);
    this.#needs = new Uint8Array(steps);
    this.#absent = new Uint8Array(steps);
    this.#returns = new Uint8Array(steps);
    this.#chain = new Int32Array(steps);
    this.#chainEnd = new Int32Array(steps);
    this.#serviceBits = new Uint32Array(steps);
    this.#luckBits = new Uint32Array(steps);
    this.#rest = new Int32Array(steps);
    this.#key = new Int32Array(steps);
    this.#hand = new Int32Array(steps);
    this.#bench = new Int32Array(steps);
    this.dueAt = new Int32Array(steps);
    this.settledAt = new Int32Array(steps);
    this.readyAt = new Int32Array(steps);
    this.queuedAt = new Int32Array(steps);
    this.begunAt = new Int32Array(steps);
    this.doneAt = new Int32Array(steps);
    this.after = new Int32Array(steps);
    this.closedAt = new Int32Array(line.ways.open);
    this.served = new Float64Array(line.stages.count);
    this.stoodTicks = new Float64Array(line.stages.count);
  }

  /** From now until every open pair is ready, or the line's end. Each call goes another way. */
  go(): void {
    const { ticks } = this.#line;
    this.#begin();
    let tick = this.#nextTick(0);
    while (tick < ticks && (this.#left > 0 || this.#line.ways.open === 0)) {
      if (this.#crew.nextShift <= tick) this.#comeToWork(tick);
      while (this.#nextArrival <= tick) this.#arrive(tick);
      for (let step = this.#wheel.take(tick); step >= 0; step = this.#wheel.take(tick)) {
        if (this.#is[step] === WORKED) this.#finish(step, tick);
        else this.#enter(step, tick);
      }
      tick = this.#nextTick(tick);
    }
    this.#wheel.clear();
  }

  #nextTick(from: number): number {
    const next = this.#wheel.next(from);
    return Math.min(next, this.#crew.nextShift, this.#nextArrival);
  }

  stageOf(step: number): number {
    return this.#line.steps.stage[this.#row[step] ?? 0] ?? 0;
  }

  hadReturn(step: number): boolean {
    return (this.#returns[step] ?? 0) > 0;
  }

  /** The step that made the open pair ready. */
  closingStep(pair: number): number {
    const { closing, from } = this.#line.ways;
    return (this.#base[pair] ?? 0) + (closing[pair] ?? 0) - (from[pair] ?? 0);
  }

  #begin(): void {
    const { ways, ticks, arrivals } = this.#line;
    for (const chance of [this.#fate, this.#outside, this.#chance]) {
      // Streams too far apart to meet.
      this.#source.jump();
      chance.restart(this.#source.clone());
    }
    this.#drawPace();
    this.#queues.clear();
    this.#crew.reset();
    this.#lasts.reset(ways);
    for (let place = 0; place < arrivals.most; place += 1)
      this.#places[place] = ways.open + arrivals.most - 1 - place;
    this.#placesLeft = arrivals.most;
    this.#left = ways.open;
    this.closedAt.fill(ticks);
    for (let pair = 0; pair < ways.open; pair += 1) this.#place(pair, pair, 0, this.#fate);
    for (let pair = 0; pair < ways.open; pair += 1) this.#takeUpWork(pair);
    for (let pair = 0; pair < ways.open; pair += 1) this.#setOff(pair, 0);
    this.#arrivalWorked = 0;
    this.#drawArrival();
  }

  #drawPace(): void {
    const { count, paceError } = this.#line.stages;
    for (let stage = 0; stage < count; stage += 1)
      this.#pace[stage] = Math.max(PACE_LEAST, 1 + (paceError[stage] ?? 0) * this.#outside.normal());
  }

  /** Lays out the steps of a pair and draws for each what will become of it. */
  #place(pair: number, way: number, tick: number, chance: Chance): void {
    const { ways, steps, stages } = this.#line;
    const held = ways.held[way] ?? -1;
    this.#way[pair] = way;
    this.#comes[pair] = tick;
    this.#heldUntil[pair] = held < 0 ? 0 : chance.ticks(held, chance.bits());
    const end = ways.from[way + 1] ?? 0;
    let step = this.#base[pair] ?? 0;
    for (let row = ways.from[way] ?? 0; row < end; row += 1, step += 1) {
      const share = steps.share[row] ?? 0;
      const settles = steps.settles[row] ?? -1;
      this.#pairOf[step] = pair;
      this.#row[step] = row;
      this.#stage[step] = steps.stage[row] ?? 0;
      this.#is[step] = 0;
      this.#needs[step] = steps.needs[row] ?? 0;
      this.#returns[step] = 0;
      this.#chain[step] = -1;
      this.#rest[step] = 0;
      this.after[step] = -1;
      this.#serviceBits[step] = chance.bits();
      this.#luckBits[step] = chance.bits();
      this.#absent[step] = share < 1 && chance.unit() >= share ? 1 : 0;
      this.dueAt[step] = tick;
      this.settledAt[step] =
        tick + (steps.dueAt[row] ?? 0) + (settles < 0 ? 0 : chance.settling(stages, settles));
    }
  }

  /** What is in work now goes on. */
  #takeUpWork(pair: number): void {
    const { steps } = this.#line;
    const end = this.#endOf(pair);
    for (let step = this.#base[pair] ?? 0; step < end; step += 1) {
      const row = this.#row[step] ?? 0;
      const hand = steps.hand[row] ?? -1;
      if (hand < 0) continue;
      this.readyAt[step] = 0;
      this.queuedAt[step] = 0;
      this.#crew.isHere(hand);
      this.#start(step, hand, steps.bench[row] ?? 0, 0);
    }
  }

  #setOff(pair: number, tick: number): void {
    const end = this.#endOf(pair);
    for (let step = this.#base[pair] ?? 0; step < end; step += 1)
      if (this.#needs[step] === 0 && this.#is[step] === 0) this.#fallDue(step, tick);
  }

  #endOf(pair: number): number {
    const { from } = this.#line.ways;
    const way = this.#way[pair] ?? 0;
    return (this.#base[pair] ?? 0) + (from[way + 1] ?? 0) - (from[way] ?? 0);
  }

  #comeToWork(tick: number): void {
    for (let hand = this.#crew.comes(tick, this.#outside); hand >= 0; ) {
      this.#workNext(hand, tick);
      hand = this.#crew.comes(tick, this.#outside);
    }
  }

  #arrive(tick: number): void {
    const { arrivals, ways } = this.#line;
    const kind = Math.floor(this.#outside.unit() * arrivals.kinds);
    this.#drawArrival();
    // No room for more: then so many are ahead already that it makes no difference.
    if (this.#placesLeft === 0) return;
    this.#placesLeft -= 1;
    const pair = this.#places[this.#placesLeft] ?? 0;
    this.#place(pair, ways.open + kind, tick, this.#outside);
    this.#setOff(pair, tick);
  }

  /** They come at random in working time, as many as usual. */
  #drawArrival(): void {
    const { arrivals, ticks } = this.#line;
    if (arrivals.every === 0) this.#nextArrival = ticks;
    else {
      this.#arrivalWorked -= Math.log(1 - this.#outside.unit()) * arrivals.every;
      this.#nextArrival = arrivals.clock.at[Math.ceil(this.#arrivalWorked)] ?? ticks;
    }
  }

  /** All that comes before it is done. */
  #fallDue(step: number, tick: number): void {
    const { stages, asidePool } = this.#line;
    const stage = this.#stage[step] ?? 0;
    const settled = this.settledAt[step] ?? 0;
    const held = this.#heldUntil[this.#pairOf[step] ?? 0] ?? 0;
    this.dueAt[step] = tick;
    let at = settled > tick ? settled : tick;
    if (this.#absent[step] === 0) {
      if (held > at) at = held;
      if (((this.#luckBits[step] ?? 0) & SHARE_BITS) < (stages.aside[stage] ?? 0))
        at += this.#chance.ticks(asidePool, this.#chance.bits());
    }
    this.#enterAt(step, at, tick);
  }

  #enterAt(step: number, at: number, tick: number): void {
    if (at <= tick) this.#enter(step, tick);
    else {
      this.#is[step] = SOON;
      if (at < this.#line.ticks) this.#wheel.add(step, at);
    }
  }

  /** It lies ready before its stage. */
  #enter(step: number, tick: number): void {
    const { owner, lastFrom, ways } = this.#line;
    this.#is[step] = SOON;
    if (this.#chain[step] === -1 && this.#returns[step] === 0) this.readyAt[step] = tick;
    if (this.#absent[step] === 1) {
      this.queuedAt[step] = tick;
      this.begunAt[step] = tick;
      this.#complete(step, tick);
      return;
    }
    const stage = this.#stage[step] ?? 0;
    if (stage === owner) this.#ask(step, tick);
    else {
      const pair = this.#pairOf[step] ?? 0;
      const last = stage === lastFrom ? (ways.last[this.#way[pair] ?? 0] ?? -1) : -1;
      if (last < 0 || this.#lasts.take(last, pair, step)) this.#queue(step, tick);
    }
  }

  /** The owner is asked; no hand is needed. */
  #ask(step: number, tick: number): void {
    const pool = this.#line.steps.pool[this.#row[step] ?? 0] ?? 0;
    this.queuedAt[step] = tick;
    this.begunAt[step] = tick;
    this.#hand[step] = -1;
    this.#finishAt(step, tick + this.#chance.ticks(pool, this.#serviceBits[step] ?? 0));
  }

  #queue(step: number, tick: number): void {
    this.queuedAt[step] = tick;
    this.#key[step] = this.#keyOf(step, tick);
    this.#putBack(step, tick);
  }

  #putBack(step: number, tick: number): void {
    const stage = this.#stage[step] ?? 0;
    if (this.#crew.findFor(stage, tick)) this.#start(step, this.#crew.hand, this.#crew.bench, tick);
    else this.#queues.add(stage, step, this.#key[step] ?? 0);
  }

  #keyOf(step: number, tick: number): number {
    const { order, ways, outOfTurn, near, rush } = this.#line;
    const pair = this.#pairOf[step] ?? 0;
    const promise = (this.#comes[pair] ?? 0) + (ways.promise[this.#way[pair] ?? 0] ?? 0);
    if (order === 'promise') return promise;
    const settled = this.settledAt[step] ?? 0;
    // What is due at the beginning has been due for different times.
    const due = tick > 0 ? tick : settled < 0 ? settled : 0;
    return due - (tick > promise - near ? rush : 0) - this.#chance.length(outOfTurn, this.#chance.bits());
  }

  #workNext(hand: number, tick: number): void {
    if (this.#crew.isFree(hand, tick) && this.#crew.choose(hand))
      this.#start(this.#crew.step, hand, this.#crew.bench, tick);
  }

  #start(step: number, hand: number, bench: number, tick: number): void {
    const stage = this.#stage[step] ?? 0;
    const rest = this.#rest[step] ?? 0;
    const ticks = rest > 0 ? rest : this.#drawWork(step, stage);
    if (rest === 0) {
      this.begunAt[step] = tick;
      this.served[stage] = (this.served[stage] ?? 0) + 1;
      this.stoodTicks[stage] = (this.stoodTicks[stage] ?? 0) + tick - (this.queuedAt[step] ?? 0);
    }
    this.#hand[step] = hand;
    this.#bench[step] = bench;
    this.#crew.begin(hand, bench);
    const left = this.#crew.leftAtHome(hand, tick, ticks);
    this.#rest[step] = left;
    this.#finishAt(step, left > 0 ? this.#crew.homeAt(hand) : this.#crew.endOf(hand, tick, ticks));
  }

  #drawWork(step: number, stage: number): number {
    const own = this.#chain[step] === -1 && this.#returns[step] === 0;
    const pool = own ? this.#line.steps.pool[this.#row[step] ?? 0] : this.#line.stages.pool[stage];
    const bits = own ? (this.#serviceBits[step] ?? 0) : this.#chance.bits();
    return this.#chance.ticks(pool ?? 0, bits, this.#pace[stage]);
  }

  #finishAt(step: number, at: number): void {
    this.#is[step] = WORKED;
    if (at < this.#line.ticks) this.#wheel.add(step, at);
  }

  #finish(step: number, tick: number): void {
    const hand = this.#hand[step] ?? -1;
    const bench = this.#bench[step] ?? 0;
    if (hand >= 0) this.#crew.end(hand, bench);
    if (hand >= 0 && (this.#rest[step] ?? 0) > 0) {
      // The shift is over: whoever comes next goes on with it.
      this.#is[step] = SOON;
      this.#putBack(step, tick);
    } else if (hand < 0 || !this.#goesBack(step, tick)) this.#complete(step, tick);
    if (hand < 0) return;
    this.#workNext(hand, tick);
    if (this.#crew.hasRoom(bench)) this.#offer(bench, tick);
  }

  /** A hand that had no room at the bench until now. */
  #offer(bench: number, tick: number): void {
    const { stagesFrom, stage } = this.#line.benches;
    const end = stagesFrom[bench + 1] ?? 0;
    for (let row = stagesFrom[bench] ?? 0; row < end; row += 1) {
      const queue = stage[row] ?? 0;
      while (this.#queues.first(queue) >= 0 && this.#crew.findFor(queue, tick))
        this.#start(this.#queues.takeFirst(queue), this.#crew.hand, this.#crew.bench, tick);
    }
  }

  /** Sent back, it goes through what has to be done again, one after the other, and comes here once more. */
  #goesBack(step: number, tick: number): boolean {
    const { stages } = this.#line;
    const stage = this.#stage[step] ?? 0;
    let next = this.#chain[step] ?? -1;
    if (next === -1) {
      const first = stages.chainsFrom[stage] ?? 0;
      const many = (stages.chainsFrom[stage + 1] ?? 0) - first;
      const luck =
        this.#returns[step] === 0 ? (this.#luckBits[step] ?? 0) >>> 16 : this.#chance.bits() & SHARE_BITS;
      if (many === 0 || (this.#returns[step] ?? 0) >= RETURNS_MOST || luck >= (stages.back[stage] ?? 0))
        return false;
      const chain = first + Math.floor(this.#chance.unit() * many);
      this.#returns[step] = (this.#returns[step] ?? 0) + 1;
      next = stages.chainFrom[chain] ?? 0;
      this.#chainEnd[step] = stages.chainFrom[chain + 1] ?? 0;
    } else next += 1;
    const settles = this.#chain[step] === -1 ? 0 : this.#chance.settling(stages, stage);
    const ends = next >= (this.#chainEnd[step] ?? 0);
    this.#chain[step] = ends ? -1 : next;
    this.#stage[step] = ends ? this.stageOf(step) : (stages.chainStage[next] ?? 0);
    this.#enterAt(step, tick + settles, tick);
    return true;
  }

  #complete(step: number, tick: number): void {
    const { steps, ways, lastTo, stages } = this.#line;
    const pair = this.#pairOf[step] ?? 0;
    const way = this.#way[pair] ?? 0;
    const row = this.#row[step] ?? 0;
    const stage = this.#stage[step] ?? 0;
    const absent = this.#absent[step] === 1;
    this.doneAt[step] = tick;
    const closes = row === ways.closing[way];
    if (closes || stage === lastTo) this.#freeLast(pair, ways.last[way] ?? -1, tick);
    if (closes) {
      this.#close(pair, tick);
      return;
    }
    const settled = tick + (absent ? 0 : this.#chance.settling(stages, stage));
    const end = steps.followFrom[row + 1] ?? 0;
    for (let link = steps.followFrom[row] ?? 0; link < end; link += 1) {
      const next = step + (steps.follow[link] ?? 0);
      if (settled >= (this.settledAt[next] ?? 0)) {
        this.settledAt[next] = settled;
        this.after[next] = step;
      }
      const needs = (this.#needs[next] ?? 0) - 1;
      this.#needs[next] = needs;
      if (needs === 0) this.#fallDue(next, tick);
    }
  }

  #close(pair: number, tick: number): void {
    if (pair < this.#line.ways.open) {
      this.closedAt[pair] = tick;
      this.#left -= 1;
      if (this.#left <= this.#line.ways.open * LEFT_LEAST) this.#nextArrival = this.#line.ticks;
    } else {
      this.#places[this.#placesLeft] = pair;
      this.#placesLeft += 1;
    }
  }

  #freeLast(pair: number, last: number, tick: number): void {
    const waiting = last < 0 ? -1 : this.#lasts.free(last, pair);
    if (waiting < 0) return;
    this.#lasts.take(last, this.#pairOf[waiting] ?? 0, waiting);
    this.#queue(waiting, tick);
  }
}

/** The first step of a pair of a run; each pair to come has room for the longest way. */
function baseOf({ ways }: Line, pair: number): number {
  if (pair <= ways.open) return ways.from[pair] ?? 0;
  return (ways.from[ways.open] ?? 0) + (pair - ways.open) * longestWay(ways);
}

function longestWay(ways: WayTables): number {
  let longest = 0;
  for (let way = ways.open; way + 1 < ways.from.length; way += 1)
    longest = Math.max(longest, (ways.from[way + 1] ?? 0) - (ways.from[way] ?? 0));
  return longest;
}

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
import { FIELDS, WIDTH_BITS } from './step-record.ts';
import { Wheel } from './wheel.ts';

// Bound here once: in some ways of loading, every use of an imported name is a call, and these are used a billion times.
const {
  ABSENT,
  AFTER,
  BEGUN_AT,
  BENCH,
  CHAIN,
  CHAIN_END,
  DONE_AT,
  DUE_AT,
  HAND,
  IS,
  KEY,
  LUCK_BITS,
  NEEDS,
  PAIR,
  QUEUED_AT,
  READY_AT,
  REST,
  RETURNS,
  ROW,
  SERVICE_BITS,
  SETTLED_AT,
  STAGE,
} = FIELDS;
const WIDTH = WIDTH_BITS;
const stepAt = (number: number) => number << WIDTH;
const numberOf = (step: number) => step >> WIDTH;
const STEP = stepAt(1);
const SOON = 1;
const WORKED = 2;
const SHARE_BITS = 0xffff;
/** So often is one step sent back; the next time it is kept here until it is right. */
const RETURNS_MOST = 2;
/** However little is known, nobody works faster than this share of the samples. */
const PACE_LEAST = 0.3;
/**
 * When of the open pairs no more than this share is left, nobody comes any more: the line is full of those who came, and
 * whoever comes now has weeks to go before it could be ahead of a pair that is nearly ready. Back-tested, shares from 0.05
 * to 0.5 gave the same errors and intervals, and the greater ones half the work.
 */
const LEFT_LEAST = 0.5;

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
  /** The records of all steps of the pairs of this run. */
  readonly #steps: Int32Array;
  /** Of each pair of this run, those to come included. */
  readonly #way: Int32Array;
  readonly #base: Int32Array;
  readonly #comes: Int32Array;
  readonly #heldUntil: Int32Array;
  /** Of each stage: how much longer all its work takes in this run than its samples say. */
  readonly #pace: Float64Array;
  /** Places of pairs to come that have gone again: they are used over and over, and stay in the processor's cache. */
  readonly #places: Int32Array;
  #placesLeft = 0;
  #left = 0;
  #nextArrival = 0;
  #arrivalWorked = 0;

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
    this.#steps = new Int32Array(stepAt(steps));
    this.#way = new Int32Array(pairs);
    this.#base = new Int32Array(pairs);
    this.#places = new Int32Array(line.arrivals.most);
    this.#pace = new Float64Array(line.stages.count);
    for (let pair = 0; pair < pairs; pair += 1) this.#base[pair] = stepAt(baseOf(line, pair));
    this.#comes = new Int32Array(pairs);
    this.#heldUntil = new Int32Array(pairs);
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
      for (let number = this.#wheel.take(tick); number >= 0; number = this.#wheel.take(tick)) {
        const step = stepAt(number);
        if (this.#steps[step + IS] === WORKED) this.#finish(step, tick);
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
    return this.#line.steps.stage[this.#steps[step + ROW] ?? 0] ?? 0;
  }

  /** A field of the step's record, as `step-record.ts` names them. */
  of(step: number, field: number): number {
    return this.#steps[step + field] ?? 0;
  }

  hadReturn(step: number): boolean {
    return (this.#steps[step + RETURNS] ?? 0) > 0;
  }

  /** The step that made the open pair ready. */
  closingStep(pair: number): number {
    const { closing, from } = this.#line.ways;
    return (this.#base[pair] ?? 0) + stepAt((closing[pair] ?? 0) - (from[pair] ?? 0));
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
    for (let row = ways.from[way] ?? 0; row < end; row += 1, step += STEP) {
      const share = steps.share[row] ?? 0;
      const settles = steps.settles[row] ?? -1;
      this.#steps[step + PAIR] = pair;
      this.#steps[step + ROW] = row;
      this.#steps[step + STAGE] = steps.stage[row] ?? 0;
      this.#steps[step + IS] = 0;
      this.#steps[step + NEEDS] = steps.needs[row] ?? 0;
      this.#steps[step + RETURNS] = 0;
      this.#steps[step + CHAIN] = -1;
      this.#steps[step + REST] = 0;
      this.#steps[step + AFTER] = -1;
      this.#steps[step + SERVICE_BITS] = chance.bits();
      this.#steps[step + LUCK_BITS] = chance.bits();
      this.#steps[step + ABSENT] = share < 1 && chance.unit() >= share ? 1 : 0;
      this.#steps[step + DUE_AT] = tick;
      this.#steps[step + SETTLED_AT] =
        tick + (steps.dueAt[row] ?? 0) + (settles < 0 ? 0 : chance.settling(stages, settles));
    }
  }

  /** What is in work now goes on. */
  #takeUpWork(pair: number): void {
    const { steps } = this.#line;
    const end = this.#endOf(pair);
    for (let step = this.#base[pair] ?? 0; step < end; step += STEP) {
      const row = this.#steps[step + ROW] ?? 0;
      const hand = steps.hand[row] ?? -1;
      if (hand < 0) continue;
      this.#steps[step + READY_AT] = 0;
      this.#steps[step + QUEUED_AT] = 0;
      this.#crew.isHere(hand);
      this.#start(step, hand, steps.bench[row] ?? 0, 0);
    }
  }

  #setOff(pair: number, tick: number): void {
    const end = this.#endOf(pair);
    for (let step = this.#base[pair] ?? 0; step < end; step += STEP)
      if (this.#steps[step + NEEDS] === 0 && this.#steps[step + IS] === 0) this.#fallDue(step, tick);
  }

  #endOf(pair: number): number {
    const { from } = this.#line.ways;
    const way = this.#way[pair] ?? 0;
    return (this.#base[pair] ?? 0) + stepAt((from[way + 1] ?? 0) - (from[way] ?? 0));
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
    const stage = this.#steps[step + STAGE] ?? 0;
    const settled = this.#steps[step + SETTLED_AT] ?? 0;
    const held = this.#heldUntil[this.#steps[step + PAIR] ?? 0] ?? 0;
    this.#steps[step + DUE_AT] = tick;
    let at = Math.max(settled, tick);
    if (this.#steps[step + ABSENT] === 0) {
      if (held > at) at = held;
      if (((this.#steps[step + LUCK_BITS] ?? 0) & SHARE_BITS) < (stages.aside[stage] ?? 0))
        at += this.#chance.ticks(asidePool, this.#chance.bits());
    }
    this.#enterAt(step, at, tick);
  }

  #enterAt(step: number, at: number, tick: number): void {
    if (at <= tick) this.#enter(step, tick);
    else {
      this.#steps[step + IS] = SOON;
      if (at < this.#line.ticks) this.#wheel.add(numberOf(step), at);
    }
  }

  /** It lies ready before its stage. */
  #enter(step: number, tick: number): void {
    const { owner, lastFrom, ways } = this.#line;
    this.#steps[step + IS] = SOON;
    if (this.#steps[step + CHAIN] === -1 && this.#steps[step + RETURNS] === 0)
      this.#steps[step + READY_AT] = tick;
    if (this.#steps[step + ABSENT] === 1) {
      this.#steps[step + QUEUED_AT] = tick;
      this.#steps[step + BEGUN_AT] = tick;
      this.#complete(step, tick);
      return;
    }
    const stage = this.#steps[step + STAGE] ?? 0;
    if (stage === owner) this.#ask(step, tick);
    else {
      const pair = this.#steps[step + PAIR] ?? 0;
      const last = stage === lastFrom ? (ways.last[this.#way[pair] ?? 0] ?? -1) : -1;
      if (last < 0 || this.#lasts.take(last, pair, numberOf(step))) this.#queue(step, tick);
    }
  }

  /** The owner is asked; no hand is needed. */
  #ask(step: number, tick: number): void {
    const pool = this.#line.steps.pool[this.#steps[step + ROW] ?? 0] ?? 0;
    this.#steps[step + QUEUED_AT] = tick;
    this.#steps[step + BEGUN_AT] = tick;
    this.#steps[step + HAND] = -1;
    this.#finishAt(step, tick + this.#chance.ticks(pool, this.#steps[step + SERVICE_BITS] ?? 0));
  }

  #queue(step: number, tick: number): void {
    this.#steps[step + QUEUED_AT] = tick;
    this.#steps[step + KEY] = this.#keyOf(step, tick);
    this.#putBack(step, tick);
  }

  #putBack(step: number, tick: number): void {
    const stage = this.#steps[step + STAGE] ?? 0;
    if (this.#crew.findFor(stage, tick)) this.#start(step, this.#crew.hand, this.#crew.bench, tick);
    else this.#queues.add(stage, numberOf(step), this.#steps[step + KEY] ?? 0);
  }

  #keyOf(step: number, tick: number): number {
    const { order, ways, outOfTurn, near, rush } = this.#line;
    const pair = this.#steps[step + PAIR] ?? 0;
    const promise = (this.#comes[pair] ?? 0) + (ways.promise[this.#way[pair] ?? 0] ?? 0);
    if (order === 'promise') return promise;
    const settled = this.#steps[step + SETTLED_AT] ?? 0;
    // What is due at the beginning has been due for different times.
    const due = tick > 0 ? tick : Math.min(settled, 0);
    return due - (tick > promise - near ? rush : 0) - this.#chance.length(outOfTurn, this.#chance.bits());
  }

  #workNext(hand: number, tick: number): void {
    if (this.#crew.isFree(hand, tick) && this.#crew.choose(hand))
      this.#start(stepAt(this.#crew.step), hand, this.#crew.bench, tick);
  }

  #start(step: number, hand: number, bench: number, tick: number): void {
    const stage = this.#steps[step + STAGE] ?? 0;
    const rest = this.#steps[step + REST] ?? 0;
    const ticks = rest > 0 ? rest : this.#drawWork(step, stage);
    if (rest === 0) {
      this.#steps[step + BEGUN_AT] = tick;
      this.served[stage] = (this.served[stage] ?? 0) + 1;
      this.stoodTicks[stage] = (this.stoodTicks[stage] ?? 0) + tick - (this.#steps[step + QUEUED_AT] ?? 0);
    }
    this.#steps[step + HAND] = hand;
    this.#steps[step + BENCH] = bench;
    this.#crew.begin(hand, bench);
    const left = this.#crew.leftAtHome(hand, tick, ticks);
    this.#steps[step + REST] = left;
    this.#finishAt(step, left > 0 ? this.#crew.homeAt(hand) : this.#crew.endOf(hand, tick, ticks));
  }

  #drawWork(step: number, stage: number): number {
    const own = this.#steps[step + CHAIN] === -1 && this.#steps[step + RETURNS] === 0;
    const pool = own ? this.#line.steps.pool[this.#steps[step + ROW] ?? 0] : this.#line.stages.pool[stage];
    const bits = own ? (this.#steps[step + SERVICE_BITS] ?? 0) : this.#chance.bits();
    return this.#chance.ticks(pool ?? 0, bits, this.#pace[stage]);
  }

  #finishAt(step: number, at: number): void {
    this.#steps[step + IS] = WORKED;
    if (at < this.#line.ticks) this.#wheel.add(numberOf(step), at);
  }

  #finish(step: number, tick: number): void {
    const hand = this.#steps[step + HAND] ?? -1;
    const bench = this.#steps[step + BENCH] ?? 0;
    if (hand >= 0) this.#crew.end(hand, bench);
    if (hand >= 0 && (this.#steps[step + REST] ?? 0) > 0) {
      // The shift is over: whoever comes next goes on with it.
      this.#steps[step + IS] = SOON;
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
        this.#start(stepAt(this.#queues.takeFirst(queue)), this.#crew.hand, this.#crew.bench, tick);
    }
  }

  /** Sent back, it goes through what has to be done again, one after the other, and comes here once more. */
  #goesBack(step: number, tick: number): boolean {
    const { stages } = this.#line;
    const stage = this.#steps[step + STAGE] ?? 0;
    let next = this.#steps[step + CHAIN] ?? -1;
    if (next === -1) {
      const first = stages.chainsFrom[stage] ?? 0;
      const many = (stages.chainsFrom[stage + 1] ?? 0) - first;
      const luck =
        this.#steps[step + RETURNS] === 0
          ? (this.#steps[step + LUCK_BITS] ?? 0) >>> 16
          : this.#chance.bits() & SHARE_BITS;
      if (
        many === 0 ||
        (this.#steps[step + RETURNS] ?? 0) >= RETURNS_MOST ||
        luck >= (stages.back[stage] ?? 0)
      )
        return false;
      const chain = first + Math.floor(this.#chance.unit() * many);
      this.#steps[step + RETURNS] = (this.#steps[step + RETURNS] ?? 0) + 1;
      next = stages.chainFrom[chain] ?? 0;
      this.#steps[step + CHAIN_END] = stages.chainFrom[chain + 1] ?? 0;
    } else next += 1;
    const settles = this.#steps[step + CHAIN] === -1 ? 0 : this.#chance.settling(stages, stage);
    const ends = next >= (this.#steps[step + CHAIN_END] ?? 0);
    this.#steps[step + CHAIN] = ends ? -1 : next;
    this.#steps[step + STAGE] = ends ? this.stageOf(step) : (stages.chainStage[next] ?? 0);
    this.#enterAt(step, tick + settles, tick);
    return true;
  }

  #complete(step: number, tick: number): void {
    const { steps, ways, lastTo, stages } = this.#line;
    const pair = this.#steps[step + PAIR] ?? 0;
    const way = this.#way[pair] ?? 0;
    const row = this.#steps[step + ROW] ?? 0;
    const stage = this.#steps[step + STAGE] ?? 0;
    const absent = this.#steps[step + ABSENT] === 1;
    this.#steps[step + DONE_AT] = tick;
    const closes = row === ways.closing[way];
    if (closes || stage === lastTo) this.#freeLast(pair, ways.last[way] ?? -1, tick);
    if (closes) {
      this.#close(pair, tick);
      return;
    }
    const settled = tick + (absent ? 0 : this.#chance.settling(stages, stage));
    const end = steps.followFrom[row + 1] ?? 0;
    for (let link = steps.followFrom[row] ?? 0; link < end; link += 1) {
      const next = step + stepAt(steps.follow[link] ?? 0);
      if (settled >= (this.#steps[next + SETTLED_AT] ?? 0)) {
        this.#steps[next + SETTLED_AT] = settled;
        this.#steps[next + AFTER] = step;
      }
      const needs = (this.#steps[next + NEEDS] ?? 0) - 1;
      this.#steps[next + NEEDS] = needs;
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
    const waiting = last < 0 ? -1 : stepAt(this.#lasts.free(last, pair));
    if (waiting < 0) return;
    this.#lasts.take(last, this.#steps[waiting + PAIR] ?? 0, numberOf(waiting));
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

/**
 * The line as the simulation knows it: everything is a number in a table, stages, hands, benches, pairs of lasts and
 * steps alike, so that a thousand runs touch no object. `plan.ts` makes it out of the site's records.
 */
import type { TickClock } from './timeline.ts';

/** Samples of durations in ticks; a draw takes one of a pool, each as likely. */
export interface Pools {
  /** Where each pool begins in `values`; one entry more than there are pools. */
  readonly from: Int32Array;
  readonly values: Float64Array;
}

export interface StageTables {
  readonly count: number;
  /** Pool of service times for work that is done again, or that no step says more about. */
  readonly pool: Int32Array;
  /** How far the mean time of a visit may truly be from that of the pool, as a share: its standard error. */
  readonly paceError: Float64Array;
  /** Ticks of drying, cooling or mellowing after the stage, whoever is there. */
  readonly settleLeast: Float64Array;
  readonly settleMost: Float64Array;
  /** Out of 65,536: the pair is set aside before the stage; it is sent back from it. */
  readonly aside: Uint16Array;
  readonly back: Uint16Array;
  /** For each stage the ways that pairs were sent back from it: rows of `chainStage`. */
  readonly chainsFrom: Int32Array;
  readonly chainFrom: Int32Array;
  readonly chainStage: Uint8Array;
  /** Who can work it, and at which bench. */
  readonly handsFrom: Int32Array;
  readonly hand: Int32Array;
  readonly handBench: Int32Array;
}

export interface HandTables {
  readonly count: number;
  readonly clocks: readonly TickClock[];
  readonly clock: Int32Array;
  /** The shifts to come, by when they begin, and how likely the hand is there. */
  readonly shiftAt: Int32Array;
  readonly shiftHand: Int32Array;
  readonly shiftEnd: Int32Array;
  readonly shiftShare: Float64Array;
  /** Each hand's benches, the usual one first, and the stages that it does there. */
  readonly turnsFrom: Int32Array;
  readonly turnBench: Int32Array;
  readonly turnStagesFrom: Int32Array;
  readonly turnStage: Uint8Array;
}

export interface BenchTables {
  readonly count: number;
  /** How many hands work there at once. */
  readonly room: Int32Array;
  readonly stagesFrom: Int32Array;
  readonly stage: Uint8Array;
}

/** What is left to do on the pairs: one row for each stage of each pair's way. */
export interface StepTables {
  readonly stage: Uint8Array;
  readonly pool: Int32Array;
  /** How likely the step is needed at all. */
  readonly share: Float64Array;
  /** How many steps come right before it. */
  readonly needs: Uint8Array;
  /** Not before this tick; below 0 it has been due for so long. */
  readonly dueAt: Int32Array;
  /** The done stage whose settling is counted from `dueAt`; -1 where there is none. */
  readonly settles: Int16Array;
  /** The hand and bench that work on it now; -1 where nobody does. */
  readonly hand: Int32Array;
  readonly bench: Int32Array;
  /** The steps right after it, as distances to their rows. */
  readonly followFrom: Int32Array;
  readonly follow: Int32Array;
}

/** The ways that are left: those of the open pairs, then the kinds of pairs that are yet to come. */
export interface WayTables {
  readonly open: number;
  /** The first row of each way's steps; one entry more than there are ways. */
  readonly from: Int32Array;
  /** The row that ends it. */
  readonly closing: Int32Array;
  /** The pair of lasts that it needs; -1 where it needs none. */
  readonly last: Int32Array;
  readonly holdsLast: Uint8Array;
  /** Pool of how long it is still held; -1 where it is not. */
  readonly held: Int32Array;
  /** The end of the promised day; for pairs to come counted from their coming. */
  readonly promise: Int32Array;
}

export interface ArrivalTables {
  /** Working ticks of the site from one new pair to the next in the mean; 0 where none come. */
  readonly every: number;
  readonly clock: TickClock;
  /** How many ways there are for them, each as likely. */
  readonly kinds: number;
  /** How many can be here at once. */
  readonly most: number;
}

export interface Line {
  readonly ticks: number;
  /** Who goes first in a queue: the pair that was due first, or that was promised first. */
  readonly order: 'due' | 'promise';
  readonly pools: Pools;
  readonly stages: StageTables;
  readonly hands: HandTables;
  readonly benches: BenchTables;
  readonly steps: StepTables;
  readonly ways: WayTables;
  readonly arrivals: ArrivalTables;
  /** So long before its promised day ends a pair takes its turn, and so much sooner. */
  readonly near: number;
  readonly rush: number;
  /** Pool of how far out of turn a pair is taken besides. */
  readonly outOfTurn: number;
  readonly lasts: number;
  /** Pool of how long a pair that is set aside stays so. */
  readonly asidePool: number;
  /** The owner's yes, and where a pair of lasts is taken and freed; -1 where the site does without. */
  readonly owner: number;
  readonly lastFrom: number;
  readonly lastTo: number;
}

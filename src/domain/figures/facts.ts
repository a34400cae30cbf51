/**
 * What the figures need to know of one pair: its whole way as spans of time, each with the records that begin and end
 * it. Computed from the pair's records alone and with all that is known today, so a correction made later puts right
 * the figures of then; kept by the server as a cache that can be thrown away.
 */
import type { Flag } from '../fold/pair-state.ts';
import type { BenchId, OperativeId, PairId, RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { Job, OneShoe, Shoe } from '../record/kinds.ts';

/** A fact and the record that says so. */
export interface Told {
  readonly at: Instant;
  readonly record: RecordId;
}

export interface SpellFacts {
  /** The clock-in, or the `done-unscanned`. */
  readonly id: RecordId;
  readonly stage: StageCode;
  readonly shoe: Shoe;
  readonly bench: BenchId;
  /** Who worked, and from when: whoever clocked in, and those who joined `beside`. Empty where nobody was badged on. */
  readonly hands: readonly { readonly hand: OperativeId; readonly from: Instant }[];
  /** Skilled hands who answer for the work and whose time it is not. */
  readonly answers: readonly OperativeId[];
  readonly from: Instant;
  /** Null while open. */
  readonly to: Instant | null;
  /** False where `from` or `to` only says when it was told: no length, no touch time. */
  readonly timed: boolean;
  readonly outcome: 'open' | 'done' | 'not-finished';
  readonly endedBy: RecordId | null;
  /** The sending back that asks for the finished stage again, shoe by shoe. */
  readonly undone: Readonly<Record<OneShoe, Told | null>>;
  /** Records by which a supervisor gave it its times. */
  readonly amendedBy: readonly RecordId[];
}

/**
 * A stage is due and not in work. `shoe` is one shoe where only that one waits, and then counts half. Nobody can begin
 * on a pair that has left, is set aside, is stopped by a note or by its owner: it waits at no stage but is held, and
 * what is due once that ends waits from then. While the owner is only asked, the stages that do not stand on the answer
 * wait on; the owner's own stage is a hold and never a wait. Parted, each shoe waits where it is due.
 */
export interface WaitFacts {
  readonly stage: StageCode;
  readonly shoe: Shoe;
  readonly from: Instant;
  readonly to: Instant | null;
  /** What made it due. */
  readonly begunBy: RecordId;
  /** The clock-in that ended it, or what made it due no longer; null while it waits. */
  readonly endedBy: RecordId | null;
  /** Whether a clock-in at the stage ended it: a wait that ended otherwise is no wait before work. */
  readonly served: boolean;
}

/**
 * Kept from going on: taken off the line, waiting for the owner or stopped by the owner, stopped by one note or several,
 * parted. One of each kind at a time; all end when the pair leaves.
 */
export interface HoldFacts {
  readonly why: 'set-aside' | 'owner' | 'stop-note' | 'parted';
  readonly from: Instant;
  readonly to: Instant | null;
  readonly begunBy: RecordId;
  readonly endedBy: RecordId | null;
}

export interface SentBackFacts extends Told {
  readonly from: StageCode;
  readonly to: StageCode;
  readonly shoe: Shoe;
  /** The fault's code in the catalogue, where one was named. */
  readonly fault: string | null;
}

/** One stay in the works: from being met to leaving. */
export interface StayFacts {
  readonly from: Told;
  /** Null while it is here. */
  readonly to: Told | null;
  /** It left by being given back unfinished. */
  readonly unfinished: boolean;
}

export interface PairFacts {
  readonly pair: PairId;
  readonly job: Job | null;
  /** The day promised last. */
  readonly promised: string | null;
  readonly logged: Told | null;
  /** In the works from here: the first record that stands. */
  readonly first: Told;
  /** One, and one more for each time that it came back after it had left; in their order, apart from each other. */
  readonly stays: readonly StayFacts[];
  /** Out of the works; null while it is in them. A pair sent back after it had left is in them again. */
  readonly closed: Told | null;
  /** Closed by being given back unfinished. */
  readonly handedBack: boolean;
  readonly spells: readonly SpellFacts[];
  readonly waits: readonly WaitFacts[];
  readonly holds: readonly HoldFacts[];
  readonly sentBack: readonly SentBackFacts[];
  readonly flags: readonly Flag[];
}

/**
 * The answer to «where is this pair?»: where it is, what it waits for, what was done and what is left, computed from
 * its folded state and the site's book. Several of these hold at once, so each is a list, the weightiest first.
 */
import { stops } from './fold/notes.ts';
import type { NoteState, PairState, Spell } from './fold/pair-state.ts';
import { isDone, openSpells } from './fold/spells.ts';
import type { BenchId, OperativeId, PairId, RecordId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import type { OneShoe, RecordKind, RecordOf } from './record/kinds.ts';
import type { SiteBook } from './site-book.ts';
import { dueOn, lastOf, leftOn, missingFor, settlingBefore, type Way, wantsBoth, wayOf } from './way.ts';
import { type PromiseNow, promiseNow } from './whereabouts-promise.ts';

/** What the records of other pairs and of machines tell about this one. */
export interface Around {
  /** Another pair that has this pair of lasts in it. */
  readonly lastHeldBy: (last: string, pair: PairId) => PairId | null;
  /** How many other pairs stand before the stage and could be begun. */
  readonly queueAt: (stage: StageCode, pair: PairId) => number;
  /** Why the stage can be worked at no bench, or null. */
  readonly outOfUse: (stage: StageCode) => string | null;
}

/** The last that was seen of the pair. */
export interface Met {
  readonly at: Instant;
  readonly bench: BenchId;
  readonly by: OperativeId | null;
  /** Null where it was met without work, as at the office. */
  readonly stage: StageCode | null;
  readonly kind: RecordKind;
}

export type Place =
  | { readonly is: 'out'; readonly since: Instant; readonly inParts: boolean }
  | { readonly is: 'at-work'; readonly spells: readonly Spell[] }
  | {
      readonly is: 'set-aside';
      readonly since: Instant;
      readonly stage: StageCode;
      readonly reason: string;
      readonly bench: BenchId;
      readonly by: OperativeId | null;
      readonly rack: string | null;
    }
  | { readonly is: 'on-rack'; readonly rack: string; readonly met: Met }
  | { readonly is: 'met'; readonly met: Met }
  /** There is a number, and no record of anybody who had the pair in hand. */
  | { readonly is: 'unknown' };

/** Where one shoe of a parted pair is. */
export interface ShoePlace {
  readonly since: Instant;
  readonly bench: BenchId;
  readonly by: OperativeId | null;
  /** The work that it was last seen at, since the two were parted. */
  readonly spell: Spell | null;
}

export interface Parted {
  readonly alone: OneShoe;
  readonly since: Instant;
  readonly why: string;
  readonly shoes: Readonly<Record<OneShoe, ShoePlace>>;
}

export type Waiting =
  | { readonly for: 'logging' }
  | { readonly for: 'owner'; readonly since: Instant | null; readonly why: string | null }
  /** The owner said stop. */
  | { readonly for: 'parts'; readonly since: Instant | null }
  | { readonly for: 'stop-note'; readonly note: NoteState }
  | { readonly for: 'taking-up'; readonly reason: string; readonly since: Instant }
  | { readonly for: 'rework'; readonly back: RecordOf<'sent-back'> }
  | { readonly for: 'last'; readonly stage: StageCode; readonly last: string; readonly heldBy: PairId }
  | {
      readonly for: 'settling';
      readonly stage: StageCode;
      readonly before: StageCode;
      readonly until: Instant;
    }
  | { readonly for: 'machine'; readonly stage: StageCode; readonly why: string }
  | { readonly for: 'twin'; readonly stage: StageCode }
  /** Nothing stands in its way but the pairs before it. */
  | { readonly for: 'turn'; readonly stage: StageCode; readonly others: number };

export interface Left {
  readonly stage: StageCode;
  readonly is: 'at-work' | 'due' | 'later';
  /** What must be finished first. */
  readonly missing: readonly StageCode[];
}

/** A stage that is finished, or was once and has been asked for again. */
export interface Done {
  readonly spell: Spell;
  /** Asked for again since, on one shoe or both. */
  readonly again: boolean;
}

/** A stage that the office ends at its desk, with no bench: booking in, the inspection with it, the owner's yes. */
export interface DoneAtDesk {
  readonly stage: StageCode;
  readonly at: Instant;
  readonly by: OperativeId | null;
}

export interface Whereabouts {
  readonly pair: PairId;
  readonly logged: boolean;
  readonly place: Place;
  readonly parted: Parted | null;
  readonly waits: readonly Waiting[];
  /** In the order of the work. */
  readonly done: readonly Done[];
  readonly doneAtDesk: readonly DoneAtDesk[];
  /** In the usual order; null where the site has no routes or the pair was never logged. */
  readonly left: readonly Left[] | null;
  /** Nothing is left but to go out. */
  readonly finished: boolean;
  /** The open fronts. */
  readonly due: readonly StageCode[];
  readonly last: {
    readonly last: string;
    readonly inIt: boolean;
    readonly heldBy: PairId | null;
  } | null;
  /** Null for a pair that was never logged, and for one that was given back unfinished. */
  readonly promise: PromiseNow | null;
  readonly timesBack: number;
  readonly openNotes: readonly NoteState[];
  readonly curedNotes: readonly NoteState[];
  /** Amendments whose writer had not seen the one before. */
  readonly amendedApart: readonly RecordOf<'pair-amended'>[];
}

/** Nothing is known of other pairs and machines. */
export const ALONE: Around = { lastHeldBy: () => null, queueAt: () => 0, outOfUse: () => null };

/** Everything that the office needs when an owner asks. `now` only decides what still dries and what is late. */
export function whereaboutsOf(
  state: PairState,
  book: SiteBook,
  now: Instant,
  around: Around = ALONE,
): Whereabouts {
  const way = wayOf(state, book);
  const working = new Set(openSpells(state).map(({ stage }) => stage));
  const due = way === null || state.closedAt !== null ? [] : dueOn(way);
  const left = way === null ? null : leftOf(state, way, due, working);
  const apart = new Set(flaggedApart(state));
  return {
    pair: state.pair,
    logged: state.logged !== null,
    place: placeOf(state),
    parted: partedOf(state),
    waits: waitsOf(state, way, book, now, around),
    done: state.spells
      .filter(({ outcome }) => outcome === 'done')
      .map((spell) => ({ spell, again: spell.undone.left !== null || spell.undone.right !== null })),
    doneAtDesk: way === null ? [] : doneAtDesk(state, way),
    left,
    finished: left !== null && left.length > 0 && left.every(({ stage }) => stage === book.closingStage),
    due,
    last: lastNow(state, around),
    promise:
      state.details === null || state.handedBack !== null
        ? null
        : promiseNow(state, state.details.promised, way, book, now),
    timesBack: state.sentBack.length,
    openNotes: state.notes.filter(({ cured }) => cured === null),
    curedNotes: state.notes.filter(({ cured }) => cured !== null),
    amendedApart: state.amended.filter(({ id }) => apart.has(id)),
  };
}

function placeOf(state: PairState): Place {
  const { closedAt, handedBack, owner, setAside } = state;
  if (closedAt !== null)
    return { is: 'out', since: closedAt, inParts: handedBack !== null || owner.is === 'stopped' };
  const spells = openSpells(state);
  if (spells.length > 0) return { is: 'at-work', spells };
  const met = metOf(state);
  // Nobody says that a pair leaves a rack: whoever has it in hand afterwards has taken it off.
  const rack = met?.kind === 'racked' ? state.rack : null;
  if (setAside !== null) {
    const { at: since, stage, reason, bench, by } = setAside;
    return { is: 'set-aside', since, stage, reason, bench, by, rack };
  }
  if (met === null) return { is: 'unknown' };
  return rack === null ? { is: 'met', met } : { is: 'on-rack', rack, met };
}

function metOf({ met, spells }: PairState): Met | null {
  if (met === null) return null;
  const { at, bench, by, kind } = met;
  const stage = 'stage' in met ? met.stage : met.kind === 'sent-back' ? met.from : null;
  const joined = met.kind === 'hand-joined' ? spells.find(({ id }) => id === met.of)?.stage : undefined;
  return { at, bench, by, stage: stage ?? joined ?? null, kind };
}

/** The shoe left behind waits where it was said; either has been wherever it was worked since. */
function partedOf({ parted, spells }: PairState): Parted | null {
  if (parted === null) return null;
  const said: ShoePlace = { since: parted.at, bench: parted.bench, by: parted.by, spell: null };
  const place = (side: OneShoe): ShoePlace => {
    const spell = spells.findLast(
      ({ shoe, from, timed }) => timed && from >= parted.at && (shoe === 'both' || shoe === side),
    );
    if (spell === undefined) return said;
    return { since: spell.to ?? spell.from, bench: spell.bench, by: spell.by, spell };
  };
  return {
    alone: parted.shoe,
    since: parted.at,
    why: parted.why,
    shoes: { left: place('left'), right: place('right') },
  };
}

/** What counts as done on the way and has no spell that says so. */
function doneAtDesk({ logged, owner, spells }: PairState, { ways, done }: Way): readonly DoneAtDesk[] {
  if (logged === null) return [];
  const { at, by } = logged;
  const given = owner.since === null ? [] : [{ stage: ways.owner, at: owner.since, by: null }];
  return [{ stage: ways.receive, at, by }, { stage: ways.inspect, at, by }, ...given].flatMap((one) => {
    const { stage } = one;
    if (stage === null || !done.has(stage)) return [];
    const worked = spells.some((spell) => spell.stage === stage && spell.outcome === 'done');
    return worked ? [] : [{ ...one, stage }];
  });
}

function leftOf(
  state: PairState,
  way: Way,
  due: readonly StageCode[],
  working: ReadonlySet<StageCode>,
): readonly Left[] {
  if (state.closedAt !== null) return [];
  return leftOn(way).map((stage) => ({
    stage,
    is: working.has(stage) ? 'at-work' : due.includes(stage) ? 'due' : 'later',
    missing: missingFor(way, stage),
  }));
}

function waitsOf(
  state: PairState,
  way: Way | null,
  book: SiteBook,
  now: Instant,
  around: Around,
): readonly Waiting[] {
  if (state.closedAt !== null) return [];
  const { owner, setAside } = state;
  if (owner.is === 'stopped') return [{ for: 'parts', since: owner.since }];
  const waits: Waiting[] = [];
  if (state.logged === null) waits.push({ for: 'logging' });
  if (owner.is === 'asked') waits.push({ for: 'owner', since: owner.since, why: owner.why });
  for (const note of state.notes.filter(stops)) waits.push({ for: 'stop-note', note });
  if (setAside !== null) waits.push({ for: 'taking-up', reason: setAside.reason, since: setAside.at });
  const back = state.sentBack.findLast(({ to, shoe }) => !isDone(state, to, shoe));
  if (back !== undefined) waits.push({ for: 'rework', back });
  if (way === null) return waits;
  const working = openSpells(state).map(({ stage }) => stage);
  const fronts = dueOn(way).filter((stage) => stage !== way.ways.owner && !working.includes(stage));
  const atFronts = fronts.flatMap((stage) => frontWaits(state, way, book, now, around, stage));
  return [...waits, ...atFronts.sort((one, other) => FRONT_ORDER[one.for] - FRONT_ORDER[other.for])];
}

type FrontWaiting = Extract<Waiting, { for: keyof typeof FRONT_ORDER }>;
/** What cannot be hurried stands before what is only a queue. */
const FRONT_ORDER = { last: 0, machine: 1, twin: 2, settling: 3, turn: 4 } as const;

function frontWaits(
  state: PairState,
  way: Way,
  book: SiteBook,
  now: Instant,
  around: Around,
  stage: StageCode,
): readonly FrontWaiting[] {
  const waits: FrontWaiting[] = [];
  const last = lastNow(state, around);
  if (last !== null && last.heldBy !== null && stage === way.ways.lastFrom)
    waits.push({ for: 'last', stage, last: last.last, heldBy: last.heldBy });
  const why = around.outOfUse(stage);
  if (why !== null) waits.push({ for: 'machine', stage, why });
  if (state.parted !== null && wantsBoth(book, stage)) waits.push({ for: 'twin', stage });
  for (const { stage: earlier, until } of settlingBefore(state, way, book, stage, now))
    waits.push({ for: 'settling', stage: earlier, before: stage, until });
  if (waits.length > 0) return waits;
  return [{ for: 'turn', stage, others: around.queueAt(stage, state.pair) }];
}

function lastNow({ pair, details, last }: PairState, around: Around): Whereabouts['last'] {
  if (details === null) return null;
  const wanted = lastOf(details);
  return { last: wanted, inIt: last === wanted, heldBy: around.lastHeldBy(wanted, pair) };
}

function flaggedApart({ flags }: PairState): readonly RecordId[] {
  return flags.filter(({ flag }) => flag === 'amended-apart').map(({ record }) => record);
}

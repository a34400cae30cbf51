/** How work on a pair folds: spells begin, end, are shared, and are asked for again shoe by shoe. */
import type { RecordId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import { type Draft, type OneShoe, type RecordOf, type Shoe, SIDES } from '../record/kinds.ts';
import { flagged, type PairState, type Spell } from './pair-state.ts';
import { askedFor, usedUp } from './words.ts';

const NOT_UNDONE: Spell['undone'] = { left: null, right: null };

/** The spell that a clock-in begins. @param from its beginning, where the record's own instant is not to be taken */
export function begunBy({ id, stage, shoe, bench, by, at }: Draft<'clocked-in'>, from: Instant = at): Spell {
  return {
    id,
    stage,
    shoe,
    bench,
    by,
    from,
    to: null,
    timed: true,
    outcome: 'open',
    endedBy: null,
    undone: NOT_UNDONE,
    joined: [],
    amendedBy: [],
  };
}

export function clockIn(state: PairState, record: RecordOf<'clocked-in'>): PairState {
  // Parted, the two shoes may well be at two benches.
  const elsewhere = openSpells(state).some(
    (spell) => spell.bench !== record.bench && shareAShoe(spell.shoe, record.shoe),
  );
  const spell = begunBy(record);
  // A pair that is worked again has not left the works; that it had is flagged.
  let next: PairState = {
    ...state,
    spells: [...state.spells, spell],
    setAside: null,
    closedAt: null,
    handedBack: null,
  };
  if (elsewhere) next = flagged(next, 'open-at-two-benches', record);
  if (state.closedAt !== null) next = flagged(next, 'work-after-closing', record);
  return next;
}

export function clockOut(state: PairState, record: RecordOf<'clocked-out'>): PairState {
  const spell = state.spells.find(({ id }) => id === record.of);
  if (spell === undefined) return flagged(state, 'out-without-in', record);
  if (spell.outcome !== 'open') return flagged(state, 'out-twice', record);
  // A clock that stepped back must not make a negative spell; the flag tells of it.
  const ended: Spell = {
    ...spell,
    to: Math.max(record.at, spell.from),
    timed: record.timed,
    outcome: record.outcome,
    endedBy: record.id,
  };
  const worked = usedUp(withSpell(state, ended), ended);
  const next = record.closes && record.outcome === 'done' ? leftTheWorks(worked, record.at) : worked;
  return record.at < spell.from ? flagged(next, 'clock-doubtful', record) : next;
}

/** A pair that has left stands on no rack, and the lasts it was on are free, whether or not anybody said so. */
export function leftTheWorks(state: PairState, closedAt: Instant): PairState {
  return { ...state, closedAt, rack: null, last: null };
}

export function joinHand(state: PairState, record: RecordOf<'hand-joined'>): PairState {
  const spell = state.spells.find(({ id }) => id === record.of);
  if (spell === undefined) return flagged(state, 'hand-without-spell', record);
  const { hand, as, at } = record;
  // Said twice it is one hand still: figures share the time among hands.
  if (spell.joined.some((other) => other.hand === hand && other.as === as)) return state;
  return withSpell(state, { ...spell, joined: [...spell.joined, { hand, as, at }] });
}

/** Done, and nobody scanned: a spell without length, whose hand and time are not known. */
export function doneUnscanned(state: PairState, record: RecordOf<'done-unscanned'>): PairState {
  const { id, stage, shoe, bench, at } = record;
  const spell: Spell = {
    id,
    stage,
    shoe,
    bench,
    by: null,
    from: at,
    to: at,
    timed: false,
    outcome: 'done',
    endedBy: id,
    undone: NOT_UNDONE,
    joined: [],
    amendedBy: [],
  };
  return usedUp({ ...state, spells: [...state.spells, spell] }, spell);
}

/**
 * What counts is the order of the records, not their instants: a bench with a slow clock can send back as well. The
 * pair then needs what it is sent back for, whatever its job takes; and if it had left the works, it is back.
 */
export function sendBack(state: PairState, record: RecordOf<'sent-back'>): PairState {
  const asked = [{ stage: record.to, shoe: record.shoe }, ...record.again];
  const spells = state.spells.map((spell) =>
    asked
      .filter(({ stage }) => stage === spell.stage)
      .reduce<Spell>((one, { shoe }) => undo(one, shoe, record.id), spell),
  );
  const undone = spells.filter(({ undone: { left, right } }) => left === record.id || right === record.id);
  const stages = [record.to, ...undone.map(({ stage }) => stage)];
  return {
    ...askedFor(state, stages),
    sentBack: [...state.sentBack, record],
    checked: null,
    boxed: null,
    handedBack: null,
    closedAt: null,
    rack: null,
    spells,
  };
}

function undo(spell: Spell, shoe: Shoe, by: RecordId): Spell {
  const undone = { ...spell.undone };
  for (const side of SIDES) if (covers(shoe, side) && standsFor(spell, side)) undone[side] = by;
  return { ...spell, undone };
}

/** Whether the spell finished its stage on this shoe and the stage has not been asked for again. */
export function standsFor({ outcome, shoe, undone }: Spell, side: OneShoe): boolean {
  return outcome === 'done' && covers(shoe, side) && undone[side] === null;
}

function covers(shoe: Shoe, side: OneShoe): boolean {
  return shoe === 'both' || shoe === side;
}

/** Whether work on the one is work on a shoe of the other. */
export function shareAShoe(one: Shoe, other: Shoe): boolean {
  return SIDES.some((side) => covers(one, side) && covers(other, side));
}

/** The spells that nobody has ended. */
export function openSpells(state: PairState): readonly Spell[] {
  return state.spells.filter(({ outcome }) => outcome === 'open');
}

/** Whether `stage` was finished on the shoe, or on both, and not asked for again since. */
export function isDone(state: PairState, stage: StageCode, shoe: Shoe = 'both'): boolean {
  const here = state.spells.filter((spell) => spell.stage === stage);
  return SIDES.filter((side) => covers(shoe, side)).every((side) =>
    here.some((spell) => standsFor(spell, side)),
  );
}

export function withSpell(state: PairState, spell: Spell): PairState {
  return { ...state, spells: state.spells.map((other) => (other.id === spell.id ? spell : other)) };
}

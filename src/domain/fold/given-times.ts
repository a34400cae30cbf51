/** How a spell folds to whose beginning or end a supervisor has given the true time. */
import type { Instant } from '../instant.ts';
import type { RecordOf } from '../record/kinds.ts';
import { flagged, type PairState, type Spell } from './pair-state.ts';
import { leftTheWorks, withSpell } from './spells.ts';
import { usedUp } from './words.ts';

/**
 * The later word holds. An end that was told besides, because neither teller knew of the other, is flagged: the
 * supervisor's time stands until somebody has looked.
 */
export function giveTime(state: PairState, record: RecordOf<'time-given'>): PairState {
  const spell = state.spells.find(({ id }) => id === record.of);
  if (spell === undefined) return flagged(state, 'time-without-spell', record);
  const given = timesOf(spell, record);
  const amended: Spell = { ...spell, ...given, amendedBy: [...spell.amendedBy, record.id] };
  let next = spell.outcome === 'open' ? endedBy(state, amended, record) : amendedIn(state, amended, record);
  if (toldApart(spell, record)) next = flagged(next, 'out-twice', endOf(spell));
  if (crossed(spell, record)) next = flagged(next, 'time-backwards', record);
  return next;
}

type Times = Pick<Spell, 'from' | 'to' | 'timed'>;

/** Never a negative spell: where the times cross it has no length, and none is claimed to be known. */
function timesOf(spell: Spell, record: RecordOf<'time-given'>): Times {
  const wanted = record.from ?? spell.from;
  const to = record.to ?? spell.to;
  // The end that was given is the end; only a beginning that was given alone gives way to it.
  const from = record.to === null && to !== null ? Math.min(wanted, to) : wanted;
  return { from, to: to === null ? null : Math.max(to, from), timed: knownThereby(spell, record) };
}

function knownThereby(spell: Spell, record: RecordOf<'time-given'>): boolean {
  if (crossed(spell, record)) return false;
  // Nobody scanned this work at all: to be known it needs both times.
  const unscanned = spell.endedBy === spell.id;
  if (unscanned) return spell.timed || (record.from !== null && record.to !== null);
  return spell.timed || record.to !== null;
}

function crossed(spell: Spell, record: RecordOf<'time-given'>): boolean {
  const to = record.to ?? spell.to;
  return to !== null && to < (record.from ?? spell.from);
}

/** Without an outcome nobody has said that it was finished. */
function endedBy(state: PairState, spell: Spell, record: RecordOf<'time-given'>): PairState {
  if (record.to === null && record.outcome === null) return withSpell(state, spell);
  const ended: Spell = {
    ...spell,
    to: spell.to ?? Math.max(record.at, spell.from),
    timed: spell.timed && record.to !== null,
    outcome: record.outcome ?? 'not-finished',
    endedBy: record.id,
  };
  const worked = usedUp(withSpell(state, ended), ended);
  const leaves = record.closes && ended.outcome === 'done' && !cameBackSince(worked, ended);
  return leaves ? leftTheWorks(worked, ended.to ?? record.at) : worked;
}

/** Whoever gives the end of its last stage later may find the pair sent back, or at work, by then. */
function cameBackSince({ spells, sentBack }: PairState, { id, to }: Spell): boolean {
  const isSince = (at: Instant) => to !== null && at >= to;
  const worked = spells.some((other) => other.id !== id && other.endedBy !== other.id && isSince(other.from));
  return worked || sentBack.some(({ at }) => isSince(at));
}

function amendedIn(state: PairState, spell: Spell, record: RecordOf<'time-given'>): PairState {
  const next = withSpell(state, spell);
  return record.closes && closedThereby(state, spell) ? { ...next, closedAt: spell.to } : next;
}

/** Whether the pair is out of the works by this spell: not by one that finished the stage after it, nor handed back since. */
function closedThereby({ spells, closedAt, handedBack }: PairState, { id, stage }: Spell): boolean {
  if (closedAt === null || handedBack !== null) return false;
  return spells.findLast((other) => other.stage === stage && other.outcome === 'done')?.id === id;
}

/** Whoever gives an outcome took the spell for open, and had not heard of its end. */
function toldApart({ id, outcome, endedBy }: Spell, record: RecordOf<'time-given'>): boolean {
  return record.outcome !== null && outcome !== 'open' && endedBy !== id;
}

/** What is known of the record that ended the spell. */
function endOf({ id, endedBy, to, from, by, bench }: Spell) {
  return { id: endedBy ?? id, at: to ?? from, by, bench, of: id };
}

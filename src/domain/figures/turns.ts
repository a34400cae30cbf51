/** What happens in a pair's life after which other stages may be due, in time and as it is known today. */
import { amend, answerOwner, askOwner, logPair } from '../fold/office.ts';
import type { PairState, Spell } from '../fold/pair-state.ts';
import { askedFor, notNeeded } from '../fold/words.ts';
import type { RecordId } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord, RecordOf } from '../record/kinds.ts';
import type { HoldFacts, StayFacts } from './facts.ts';
import type { Standing } from './standing.ts';

/** Where the pair stands at one moment of its life. */
export interface Now {
  /** What its way hangs on, and no more; of its spells only those finished by now. */
  readonly state: PairState;
  /** Spells open now. */
  readonly working: readonly Spell[];
  /** In how many ways nobody can begin on it. */
  readonly blocks: number;
}

export interface Turn {
  readonly at: Instant;
  readonly record: RecordId;
  readonly does: (now: Now) => Now;
  /** The spell that begins with it. */
  readonly begins: Spell | null;
}

/** By their instants; at one instant by the order of the records, and of one record work before what it ends. */
export function turnsOf(
  standing: Standing,
  stays: readonly StayFacts[],
  holds: readonly HoldFacts[],
): readonly Turn[] {
  const places = new Map(standing.records.map(({ id }, place) => [id, place]));
  const place = ({ record }: Turn) => places.get(record) ?? 0;
  const turns = [...wordTurns(standing), ...workTurns(standing), ...blockTurns(stays, holds)];
  return turns.sort((a, b) => a.at - b.at || place(a) - place(b));
}

/** Words keep the order of their records whatever their clocks say, so that the last of them is the last in the fold too. */
function wordTurns({ records, spells }: Standing): readonly Turn[] {
  let at = Number.NEGATIVE_INFINITY;
  return records.flatMap((record) => {
    const says = wordOf(record, [...spells.values()]);
    if (says === null) return [];
    at = Math.max(at, record.at);
    const does = (now: Now) => ({ ...now, state: says(now.state) });
    return [{ at, record: record.id, does, begins: null }];
  });
}

type Says = (state: PairState) => PairState;

function wordOf(record: LedgerRecord, spells: readonly Spell[]): Says | null {
  switch (record.kind) {
    case 'pair-logged':
      return (state) => logPair(state, record);
    case 'pair-amended':
      return (state) => amend(state, record);
    case 'owner-asked':
      return (state) => askOwner(state, record);
    case 'owner-answered':
      return (state) => answerOwner(state, record);
    case 'not-needed':
      return (state) => notNeeded(state, record);
    case 'stage-asked':
      return (state) => askedFor(state, record.stages);
    case 'sent-back':
      return sentBack(record, spells);
    default:
      return null;
  }
}

/** What is undone by it the fold has said, by the order of the records; here it is undone from then on. */
function sentBack(record: RecordOf<'sent-back'>, spells: readonly Spell[]): Says {
  const again = spells.filter(({ undone }) => undone.left === record.id || undone.right === record.id);
  const stages = [record.to, ...again.map(({ stage }) => stage)];
  return (state) => {
    const asked = askedFor({ ...state, sentBack: [...state.sentBack, record] }, stages);
    const undone = again.map(({ id }) => id);
    return {
      ...asked,
      spells: asked.spells.map((spell) =>
        undone.includes(spell.id) ? asOfNow(asked, again.find(({ id }) => id === spell.id) ?? spell) : spell,
      ),
    };
  };
}

/** The spell, undone only by what has been sent back by now. */
function asOfNow(state: PairState, spell: Spell): Spell {
  const passed = (by: RecordId | null) => (state.sentBack.some(({ id }) => id === by) ? by : null);
  return { ...spell, undone: { left: passed(spell.undone.left), right: passed(spell.undone.right) } };
}

function workTurns({ spells }: Standing): readonly Turn[] {
  return [...spells.values()].flatMap((spell) => {
    const begin = {
      at: spell.from,
      record: spell.id,
      does: (now: Now) => ({ ...now, working: [...now.working, spell] }),
      begins: spell,
    };
    if (spell.to === null || spell.endedBy === null) return [begin];
    const end = {
      at: spell.to,
      record: spell.endedBy,
      does: (now: Now) => finished(now, spell),
      begins: null,
    };
    // Nobody clocked in to what was done unscanned: it ends a wait, and serves none.
    return spell.endedBy === spell.id && !spell.timed ? [end] : [begin, end];
  });
}

function finished(now: Now, spell: Spell): Now {
  const working = now.working.filter((other) => other !== spell);
  if (spell.outcome !== 'done') return { ...now, working };
  const { state } = now;
  return { ...now, working, state: { ...state, spells: [...state.spells, asOfNow(state, spell)] } };
}

/** Set aside and stopped by a note, and away between two stays; the owner's stop is in the state itself. */
function blockTurns(stays: readonly StayFacts[], holds: readonly HoldFacts[]): readonly Turn[] {
  const blocked = (by: number) => (now: Now) => ({ ...now, blocks: now.blocks + by });
  const away = stays.flatMap(({ to }, index): Turn[] => {
    const back = stays[index + 1]?.from;
    if (to === null || to.at === back?.at) return [];
    const left = { ...to, does: blocked(1), begins: null };
    return back === undefined ? [left] : [left, { ...back, does: blocked(-1), begins: null }];
  });
  const held = holds
    .filter(({ why }) => why === 'set-aside' || why === 'stop-note')
    .flatMap(({ from, begunBy, to, endedBy }): Turn[] => {
      const begin = { at: from, record: begunBy, does: blocked(1), begins: null };
      if (to === null || endedBy === null) return [begin];
      return [begin, { at: to, record: endedBy, does: blocked(-1), begins: null }];
    });
  return [...away, ...held];
}

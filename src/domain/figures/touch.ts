/**
 * Touch time: a spell's time less breaks, divided at each instant by the number of spells that the same hand has open.
 * So a hand with a rack of six is never credited with more than the time that passed; several hands at one pair each have
 * their own. A spell whose beginning or end nobody knows gives none, and takes none from the others.
 *
 * ISO 22400-2 calls the sum over a hand's spells *actual personnel work time*, and has it split in the same way where one
 * person serves several units at once (read in a public ontology that quotes the standard; the standard was not opened).
 */
import type { Span } from '../calendar/calendar.ts';
import type { OperativeId, PairId, RecordId } from '../ids.ts';
import type { PairFacts, SpellFacts } from './facts.ts';
import { grouped } from './grouped.ts';
import type { Member } from './member.ts';
import type { OffTime } from './off-time.ts';
import { within } from './spans.ts';

/** One hand's part in one spell. */
export interface HandWork {
  readonly hand: OperativeId;
  readonly pair: PairId;
  readonly spell: SpellFacts;
  /** When it was worked, as far as is known. */
  readonly worked: readonly Span[];
}

export interface Touch extends HandWork {
  /** Milliseconds of the hand's time that the pair had, its share of what was open at once. */
  readonly ms: number;
}

/** Every hand's part in every spell of known beginning and end. */
export function handWork(facts: readonly PairFacts[], off: OffTime): readonly HandWork[] {
  return facts.flatMap(({ pair, spells }) =>
    spells.flatMap((spell) => {
      const { to, timed } = spell;
      if (to === null || !timed) return [];
      return spell.hands.map(({ hand, from }) => ({
        hand,
        pair,
        spell,
        worked: from < to ? off.workedOf({ from, to }) : [],
      }));
    }),
  );
}

/**
 * The touch time of each part within the span, parts without any left out. O(n log n).
 * @param work everything that the hands had open within the span, or the shares come out too large
 */
export function touchWithin(work: readonly HandWork[], span: Span): readonly Touch[] {
  const touched: Touch[] = [];
  for (const parts of grouped(work, ({ hand }) => hand).values()) {
    const clipped = parts.map((part) => within(part.worked, span));
    const shared = sharedTime(clipped.flat());
    for (const [index, part] of parts.entries()) {
      const ms = (clipped[index] ?? []).reduce((sum, { from, to }) => sum + shared(to) - shared(from), 0);
      if (ms > 0) touched.push({ ...part, ms });
    }
  }
  return touched;
}

/**
 * How much a span that is open all along has been credited with by one of the instants at which a span begins or ends:
 * the sum of dt / (number open). What a span has from `from` to `to` is the difference of the two.
 */
function sharedTime(spans: readonly Span[]): (at: number) => number {
  const turns = spans.flatMap(({ from, to }) => [
    { at: from, open: 1 },
    { at: to, open: -1 },
  ]);
  turns.sort((a, b) => a.at - b.at);
  const shared = new Map<number, number>();
  let [sum, open, last] = [0, 0, 0];
  for (const turn of turns) {
    if (open > 0) sum += (turn.at - last) / open;
    shared.set(turn.at, sum);
    open += turn.open;
    last = turn.at;
  }
  return (at) => shared.get(at) ?? 0;
}

/** Touch time as members of a figure, one a spell: the hands of a spell together. */
export function touchMembers(touches: readonly Touch[]): readonly Member[] {
  const spells = new Map<RecordId, Member>();
  for (const { pair, spell, ms } of touches) {
    const held = spells.get(spell.id);
    spells.set(spell.id, {
      pair,
      share: spell.shoe === 'both' ? 1 : 0.5,
      records: recordsOf(spell),
      ms: (held?.ms ?? 0) + ms,
    });
  }
  return [...spells.values()];
}

/** The records that say when the spell was. */
export function recordsOf({ id, endedBy, amendedBy }: SpellFacts): readonly RecordId[] {
  return [...new Set([id, ...(endedBy === null ? [] : [endedBy]), ...amendedBy])];
}

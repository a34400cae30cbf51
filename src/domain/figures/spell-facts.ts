/** A folded spell as the figures take it: who worked on it, and from when. */
import type { Spell } from '../fold/pair-state.ts';
import type { OperativeId, RecordId } from '../ids.ts';
import type { RecordOf } from '../record/kinds.ts';
import type { SpellFacts, Told } from './facts.ts';

/** @param sentBack of the same pair */
export function spellFacts(spell: Spell, sentBack: readonly RecordOf<'sent-back'>[]): SpellFacts {
  const { id, stage, shoe, bench, from, to, timed, outcome, endedBy, undone, amendedBy } = spell;
  const told = (by: RecordId | null): Told | null => {
    const back = sentBack.find((one) => one.id === by);
    return back === undefined ? null : { at: back.at, record: back.id };
  };
  return {
    id,
    stage,
    shoe,
    bench,
    hands: handsOf(spell),
    answers: spell.joined.filter(({ as }) => as === 'answers').map(({ hand }) => hand),
    from,
    to,
    timed,
    outcome,
    endedBy,
    undone: { left: told(undone.left), right: told(undone.right) },
    amendedBy,
  };
}

/** Whoever clocked in, from the beginning; whoever joined beside, from then. Nobody is in it twice. */
function handsOf({ by, from, joined }: Spell): SpellFacts['hands'] {
  const hands = new Map<OperativeId, number>();
  if (by !== null) hands.set(by, from);
  for (const { hand, as, at } of joined)
    if (as === 'beside' && !hands.has(hand)) hands.set(hand, Math.max(at, from));
  return [...hands].map(([hand, since]) => ({ hand, from: since }));
}

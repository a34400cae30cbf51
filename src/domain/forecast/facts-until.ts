/** A pair's facts as they could be told at an earlier instant. */
import type { PairFacts, SpellFacts, Told } from '../figures/facts.ts';
import type { Instant } from '../instant.ts';
import { SIDES } from '../record/kinds.ts';

/**
 * What ended, was undone or was sent back later has not been yet. The facts do not say since when job and promise are
 * what they are, so of a pair that was still here they are not known then; ask its records (`known-then.ts`). Times that
 * a supervisor put right later stand as they were put right: what was written at first is not among the facts.
 * @returns null for a pair that nobody had met by then
 */
export function factsUntil(facts: PairFacts, at: Instant): PairFacts | null {
  if (facts.first.at > at) return null;
  const by = (told: Told | null) => (told !== null && told.at <= at ? told : null);
  const stays = facts.stays
    .filter((stay) => stay.from.at <= at)
    .map((stay) => (by(stay.to) === null ? { ...stay, to: null, unfinished: false } : stay));
  const last = stays.at(-1);
  const closed = last?.to ?? null;
  return {
    ...facts,
    job: closed === null ? null : facts.job,
    promised: closed === null ? null : facts.promised,
    logged: by(facts.logged),
    stays,
    closed,
    handedBack: last?.unfinished ?? false,
    spells: facts.spells.filter(({ from }) => from <= at).map((spell) => spellUntil(spell, at)),
    waits: facts.waits
      .filter(({ from }) => from <= at)
      .map((wait) =>
        wait.to !== null && wait.to > at ? { ...wait, to: null, endedBy: null, served: false } : wait,
      ),
    holds: facts.holds
      .filter(({ from }) => from <= at)
      .map((hold) => (hold.to !== null && hold.to > at ? { ...hold, to: null, endedBy: null } : hold)),
    sentBack: facts.sentBack.filter((back) => back.at <= at),
    // A flag names its record and not when it was made.
    flags: closed === null ? [] : facts.flags,
  };
}

function spellUntil(spell: SpellFacts, at: Instant): SpellFacts {
  const { to, undone } = spell;
  const [left, right] = SIDES.map((side) => {
    const told = undone[side];
    return told !== null && told.at <= at ? told : null;
  });
  const then = { ...spell, undone: { left: left ?? null, right: right ?? null } };
  if (to !== null && to <= at) return then;
  const hands = spell.hands.filter(({ from }) => from <= at);
  return { ...then, hands, to: null, timed: true, outcome: 'open', endedBy: null, amendedBy: [] };
}

/**
 * Work of an apprentice that nobody has looked at: let through though the hand is not released for the stage's machine,
 * or with a skilled hand who answers for it. A final check after it, or a supervisor's word on it, is a look.
 */
import type { PairState, Spell } from './fold/pair-state.ts';
import { recordsOf } from './put-right-spells.ts';
import { item, type ShiftEndItem } from './shift-end-items.ts';

export function learnersWork(state: PairState): readonly ShiftEndItem[] {
  const { pair, checked, lookedInto } = state;
  const looked = new Set(lookedInto.filter(({ what }) => what === 'learners-work').map(({ of }) => of));
  return state.spells
    .filter(({ outcome }) => outcome === 'done')
    .filter((spell) => answeredFor(spell) || letPast(state, spell))
    .filter((spell) => checked === null || checked.at < endOf(spell))
    .filter((spell) => !recordsOf(spell).some((record) => looked.has(record)))
    .map((spell) => {
      const { stage, bench, by, id } = spell;
      return item({ pair, since: endOf(spell), stage, bench, by, record: id });
    });
}

function answeredFor({ joined }: Spell): boolean {
  return joined.some(({ as }) => as === 'answers');
}

/** The word is good for one hand at one bench; an older one names no hand and is good for whoever stood there. */
function letPast({ letThrough }: PairState, { stage, bench, by, from }: Spell): boolean {
  return letThrough.some(
    (word) =>
      word.past === 'not-released' &&
      word.stage === stage &&
      word.bench === bench &&
      word.at <= from &&
      (word.hand === null || word.hand === by),
  );
}

function endOf({ from, to }: Spell): number {
  return to ?? from;
}

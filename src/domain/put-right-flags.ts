/** What the fold of a pair has found odd, as items of the list. */
import { flagsAt, overlapping } from './flags.ts';
import type { Flag, PairState, Spell } from './fold/pair-state.ts';
import type { Found } from './put-right-found.ts';
import { recordsOf } from './put-right-spells.ts';
import type { SiteBook } from './site-book.ts';

export function flagItems(state: PairState, book: SiteBook): readonly Found[] {
  return flagsAt(state, book).map((flag) => itemOf(state, flag, book));
}

function itemOf(state: PairState, flag: Flag, book: SiteBook): Found {
  const { pair } = state;
  const { flag: kind, record: of, at, by, bench } = flag;
  const spell = spellOf(state, flag);
  const others = spell !== null && kind === 'open-at-two-benches' ? overlapping(state, spell, book) : [];
  const records = [
    ...new Set([of, ...(spell === null ? [] : recordsOf(spell)), ...others.map(({ id }) => id)]),
  ];
  return {
    kind,
    pair,
    of,
    records,
    since: spell !== null && spell.id === of ? spell.from : at,
    hand: by,
    bench,
    stage: spell?.stage ?? null,
    spell,
    against: others.map((other) => ({ pair, spell: other })),
    missing: [],
  };
}

/** The work that the flagged record begins, ends or names. */
function spellOf({ spells }: PairState, { record, of }: Flag): Spell | null {
  return (
    spells.find(({ id }) => id === record || id === of) ??
    spells.find(({ endedBy }) => endedBy === record) ??
    null
  );
}

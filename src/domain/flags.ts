/** Which of a pair's flags say something to the site: the fold does not know the site's routes, and its book does. */
import type { Flag, PairState, Spell } from './fold/pair-state.ts';
import type { SiteBook } from './site-book.ts';
import { besideEachOther, wayOf } from './way.ts';

/**
 * The flags, without *open at two benches* where neither stage stands on the other: a heel may be built while the
 * sole is laid. Where the site has no routes, or the pair was never logged, every such flag stays.
 */
export function flagsAt(state: PairState, book: SiteBook): readonly Flag[] {
  if (!state.flags.some(({ flag }) => flag === 'open-at-two-benches')) return state.flags;
  const way = wayOf(state, book);
  if (way === null) return state.flags;
  return state.flags.filter(({ flag, record }) => {
    if (flag !== 'open-at-two-benches') return true;
    const begun = state.spells.find(({ id }) => id === record);
    if (begun === undefined) return true;
    const others = openBeside(state, begun);
    return others.length === 0 || others.some(({ stage }) => !besideEachOther(way, stage, begun.stage));
  });
}

/** Spells at other benches that were begun before this one and ended after it began, or have not ended. */
function openBeside({ spells }: PairState, begun: Spell): readonly Spell[] {
  return spells
    .slice(0, spells.indexOf(begun))
    .filter(({ bench, to }) => bench !== begun.bench && (to === null || to >= begun.from));
}

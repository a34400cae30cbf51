/** Which of a pair's flags say something to the site: the fold does not know the site's routes, and its book does. */
import type { Flag, PairState, Spell } from './fold/pair-state.ts';
import { shareAShoe } from './fold/spells.ts';
import type { SiteBook } from './site-book.ts';
import { besideEachOther, wayOf } from './way.ts';

/** The flags that a supervisor has not looked into yet. */
export function flagsAt(state: PairState, book: SiteBook): readonly Flag[] {
  return oddAt(state, book).filter((flag) => !isLookedInto(state, flag));
}

/**
 * The flags, without *open at two benches* where neither stage stands on the other: a heel may be built while the
 * sole is laid; nor where a supervisor has given times since by which they are not open together. Where the site has
 * no routes, or the pair was never logged, no stage is known to stand beside another.
 */
export function oddAt(state: PairState, book: SiteBook): readonly Flag[] {
  if (!state.flags.some(({ flag }) => flag === 'open-at-two-benches')) return state.flags;
  return state.flags.filter(({ flag, record }) => {
    if (flag !== 'open-at-two-benches') return true;
    const begun = state.spells.find(({ id }) => id === record);
    if (begun === undefined) return true;
    if (openBeside(state, begun).length === 0) return !isAmended(state, begun);
    return overlapping(state, begun, book).length > 0;
  });
}

/**
 * Spells at other benches that cannot be so beside this one: on the same shoe, at the same time, in the way of each
 * other. One that nobody knows the end of may well have ended before; that it is not known stands on its own.
 */
export function overlapping(state: PairState, begun: Spell, book: SiteBook): readonly Spell[] {
  const others = openBeside(state, begun).filter(({ timed }) => timed);
  const way = wayOf(state, book);
  return way === null ? others : others.filter(({ stage }) => !besideEachOther(way, stage, begun.stage));
}

/** A pair that was never logged is one matter, whichever of its records came first. */
function isLookedInto({ lookedInto }: PairState, { flag, record }: Flag): boolean {
  return lookedInto.some(({ what, of }) => what === flag && (of === record || flag === 'never-logged'));
}

/** Spells at other benches that were begun before this one and ended after it began, or have not ended. */
function openBeside({ spells }: PairState, begun: Spell): readonly Spell[] {
  return spells
    .slice(0, spells.indexOf(begun))
    .filter(({ bench, to }) => bench !== begun.bench && (to === null || to >= begun.from))
    .filter(({ shoe }) => shareAShoe(shoe, begun.shoe));
}

function isAmended({ spells }: PairState, begun: Spell): boolean {
  return spells.slice(0, spells.indexOf(begun) + 1).some(({ amendedBy }) => amendedBy.length > 0);
}

/**
 * Which stages are due on one shoe, remembered: of thousands of pairs most stand, sooner or later, where another has
 * stood, and a route is dear to work out.
 */
import type { PairState } from '../fold/pair-state.ts';
import { standsFor } from '../fold/spells.ts';
import type { StageCode } from '../ids.ts';
import type { OneShoe } from '../record/kinds.ts';
import type { SiteBook } from '../site-book.ts';
import { dueOn, wayOf } from '../way.ts';

type Known = Map<string, readonly StageCode[]>;

/** By the book, which never changes in place; what was remembered for it goes with it. */
const knownOf = new WeakMap<SiteBook, Known>();
/** So that it cannot grow without end. */
const KNOWN_MOST = 50_000;

/** As `dueOn` of `wayOf`; none where the pair was never logged or the site has no routes. */
export function dueStages(state: PairState, book: SiteBook, side: OneShoe): readonly StageCode[] {
  if (state.logged === null) return [];
  const known = knownFor(book);
  const key = standOf(state, side);
  const held = known.get(key);
  if (held !== undefined) return held;
  const way = wayOf(state, book, side);
  const due = way === null ? [] : dueOn(way).filter((stage) => stage !== book.ways.owner);
  if (known.size >= KNOWN_MOST) known.clear();
  known.set(key, due);
  return due;
}

function knownFor(book: SiteBook): Known {
  const known = knownOf.get(book) ?? new Map<string, readonly StageCode[]>();
  knownOf.set(book, known);
  return known;
}

/** Everything of the state that `wayOf` looks at, as one text. */
function standOf(state: PairState, side: OneShoe): string {
  const done = state.spells.filter((spell) => standsFor(spell, side)).map(({ stage }) => stage);
  const back = state.sentBack.flatMap(({ to, again }) => [to, ...again.map(({ stage }) => stage)]);
  return [
    state.logged?.route,
    state.logged?.condition != null,
    state.details?.job,
    state.owner.is,
    textOf(state.asked),
    textOf(state.notNeeded.map(({ stage }) => stage)),
    textOf(back),
    textOf(done),
  ].join('|');
}

function textOf(stages: readonly StageCode[]): string {
  return [...new Set(stages)].sort().join(' ');
}

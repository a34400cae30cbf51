/** What the other pairs tell about one: who has its last, and how many stand before the same stage. */

import type { PairState } from '../domain/fold/pair-state.ts';
import { openSpells } from '../domain/fold/spells.ts';
import type { PairId, StageCode } from '../domain/ids.ts';
import type { SiteBook } from '../domain/site-book.ts';
import { missingFor, type Way, wayOf } from '../domain/way.ts';
import type { Around } from '../domain/whereabouts.ts';

/** Why a stage can be worked at no bench, or null. */
export type OutOfUse = Around['outOfUse'];

/** Ways are kept by state and book: a pair's is worked out again only when one of the two is another. */
const kept = new WeakMap<PairState, { readonly book: SiteBook; readonly way: Way | null }>();

function wayKept(state: PairState, book: SiteBook): Way | null {
  const held = kept.get(state);
  if (held?.book === book) return held.way;
  const way = wayOf(state, book);
  kept.set(state, { book, way });
  return way;
}

/** Reads all pairs when it is first asked, and not before; a stage's queue when that stage is. */
export function aroundIn(
  pairs: ReadonlyMap<PairId, PairState>,
  book: SiteBook,
  outOfUse: OutOfUse = () => null,
): Around {
  let lasts: Map<string, PairId[]> | null = null;
  const queues = new Map<StageCode, ReadonlySet<PairId>>();
  return {
    lastHeldBy: (last, pair) => {
      lasts ??= lastsIn(pairs);
      return lasts.get(last)?.find((other) => other !== pair) ?? null;
    },
    queueAt: (stage, pair) => {
      const queue = queues.get(stage) ?? queueIn(pairs, book, stage);
      queues.set(stage, queue);
      return queue.size - (queue.has(pair) ? 1 : 0);
    },
    outOfUse,
  };
}

function lastsIn(pairs: ReadonlyMap<PairId, PairState>): Map<string, PairId[]> {
  const lasts = new Map<string, PairId[]>();
  for (const [pair, { last, closedAt }] of pairs) {
    if (last === null || closedAt !== null) continue;
    lasts.set(last, [...(lasts.get(last) ?? []), pair]);
  }
  return lasts;
}

function queueIn(
  pairs: ReadonlyMap<PairId, PairState>,
  book: SiteBook,
  stage: StageCode,
): ReadonlySet<PairId> {
  const queue = new Set<PairId>();
  for (const [pair, state] of pairs) if (couldBegin(state, book, stage)) queue.add(pair);
  return queue;
}

function couldBegin(state: PairState, book: SiteBook, stage: StageCode): boolean {
  const { closedAt, owner, setAside } = state;
  if (closedAt !== null || owner.is === 'stopped' || setAside !== null) return false;
  if (openSpells(state).some((spell) => spell.stage === stage)) return false;
  const way = wayKept(state, book);
  if (way === null || way.done.has(stage)) return false;
  const needed = way.route.some((step) => step.stage === stage && step.need === 'always');
  return needed && missingFor(way, stage).length === 0;
}

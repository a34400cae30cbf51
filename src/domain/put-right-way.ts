/** Work on a stage whose needs have no record, held against the pair's route. */
import type { PairState, Spell } from './fold/pair-state.ts';
import type { StageCode } from './ids.ts';
import type { Found } from './put-right-found.ts';
import { aboutWork, scanned } from './put-right-spells.ts';
import { type Shoe, SIDES } from './record/kinds.ts';
import type { SiteBook } from './site-book.ts';
import { missingFor, type Way, wayOf } from './way.ts';

/**
 * One item for all work that waits for the same stages, of the first: a stage that was forgotten is one matter, however
 * far the pair has gone since. What was let through there, or asked for again as a whole, is in order.
 */
export function outOfOrder(state: PairState, book: SiteBook): readonly Found[] {
  const found = new Map<string, Found>();
  const ways = new Map<Shoe, Way | null>();
  const wayFor = (shoe: Shoe) => {
    const way = ways.has(shoe) ? (ways.get(shoe) ?? null) : wayOf(state, book, shoe);
    ways.set(shoe, way);
    return way;
  };
  for (const spell of state.spells) {
    const missing = stands(state, spell) ? missingAt(state, spell, wayFor(spell.shoe)) : [];
    if (missing.length === 0) continue;
    const key = missing.join(' ');
    const item = aboutWork('out-of-order', state.pair, spell);
    const first = found.get(key) ?? { ...item, records: [], missing };
    found.set(key, { ...first, records: [...first.records, ...item.records] });
  }
  return [...found.values()];
}

function stands(state: PairState, spell: Spell): boolean {
  const letThrough = state.letThrough.some(({ stage }) => stage === spell.stage);
  const again = SIDES.every((side) => spell.undone[side] !== null);
  return scanned(spell) && !letThrough && !again;
}

/** A stage that was asked for again is missing only to what was begun after that, and so is the owner's yes. */
function missingAt(state: PairState, spell: Spell, way: Way | null): readonly StageCode[] {
  if (way === null) return [];
  const askedAgainLater = (stage: StageCode) =>
    (stage === way.ways.owner && (state.owner.since ?? 0) >= spell.from) ||
    state.sentBack.some(
      ({ at, to, again }) => at >= spell.from && (to === stage || again.some((one) => one.stage === stage)),
    );
  return missingFor(way, spell.stage).filter((stage) => !askedAgainLater(stage));
}

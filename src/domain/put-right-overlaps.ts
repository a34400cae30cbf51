/** One hand at work at two benches at the same time: one of the two spells is longer than the work was, or is another's. */
import { oddAt } from './flags.ts';
import type { PairState } from './fold/pair-state.ts';
import type { OperativeId } from './ids.ts';
import { type Instant, MINUTE_MS } from './instant.ts';
import type { Found, WorkOn } from './put-right-found.ts';
import { aboutWork, recordsOf, scanned } from './put-right-spells.ts';
import type { SiteBook } from './site-book.ts';

/** Whoever clocks in at the next bench before out at the last has walked there (common practice, no source). */
const WALK_MS = MINUTE_MS;

interface Turn extends WorkOn {
  readonly to: Instant;
}

/**
 * Of whoever clocked in alone: a hand that is called over to work beside another, or answers for her, has its own work
 * lying open meanwhile. Work with no known end, or left open from before the shift, is on the list already.
 */
export function handsAtTwo(
  states: readonly PairState[],
  book: SiteBook,
  { now, shiftFrom }: { readonly now: Instant; readonly shiftFrom: Instant },
): readonly Found[] {
  const turns = new Map<OperativeId, Turn[]>();
  for (const { pair, spells } of states) {
    for (const spell of spells) {
      if (!scanned(spell) || !spell.timed || (spell.to === null && spell.from < shiftFrom)) continue;
      if (spell.by === null) continue;
      const own = turns.get(spell.by) ?? [];
      own.push({ pair, spell, to: spell.to ?? now });
      turns.set(spell.by, own);
    }
  }
  const bothBenches = new Set(
    states.flatMap((state) =>
      oddAt(state, book).flatMap(({ flag, record }) => (flag === 'open-at-two-benches' ? [record] : [])),
    ),
  );
  return [...turns.values()].flatMap((own) =>
    clashes(own).flatMap(({ turn, against }) => {
      // Of one pair at two benches the pair's own item tells.
      const others = against.filter(({ pair }) => pair !== turn.pair || !bothBenches.has(turn.spell.id));
      return others.length === 0 ? [] : [itemOf(turn, others)];
    }),
  );
}

/** Each turn that began while the hand was still at another bench. */
function clashes(
  turns: readonly Turn[],
): readonly { readonly turn: Turn; readonly against: readonly Turn[] }[] {
  const found: { turn: Turn; against: readonly Turn[] }[] = [];
  let open: readonly Turn[] = [];
  for (const turn of turns.toSorted((one, other) => one.spell.from - other.spell.from || one.to - other.to)) {
    open = open.filter(({ to }) => to > turn.spell.from + WALK_MS);
    const against = open.filter(
      ({ spell }) => spell.bench !== turn.spell.bench && turn.to > turn.spell.from + WALK_MS,
    );
    if (against.length > 0) found.push({ turn, against });
    open = [...open, turn];
  }
  return found;
}

function itemOf({ pair, spell }: Turn, against: readonly Turn[]): Found {
  const item = aboutWork('hand-at-two-benches', pair, spell);
  return {
    ...item,
    records: [...item.records, ...against.flatMap((other) => recordsOf(other.spell))],
    against: against.map((other) => ({ pair: other.pair, spell: other.spell })),
  };
}

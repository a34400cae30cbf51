/** The work of a shift bench by bench, for a picture of the day. */
import type { Span } from '../calendar/calendar.ts';
import type { BenchId, PairId } from '../ids.ts';
import type { PairFacts, SpellFacts } from './facts.ts';

export interface StripSpell
  extends Pick<SpellFacts, 'id' | 'stage' | 'shoe' | 'hands' | 'from' | 'to' | 'timed' | 'outcome'> {
  readonly pair: PairId;
}

export interface Strip {
  readonly bench: BenchId;
  /** By their beginning. */
  readonly spells: readonly StripSpell[];
}

/** The spells that the span meets, uncut; benches by id, those without any left out. */
export function stripsOver(all: readonly PairFacts[], span: Span): readonly Strip[] {
  const benches = new Map<BenchId, StripSpell[]>();
  for (const { pair, spells } of all)
    for (const { bench, id, stage, shoe, hands, from, to, timed, outcome, endedBy } of spells) {
      // Done and not scanned: where and when is not known.
      if (endedBy === id && !timed) continue;
      if (from >= span.to || (to !== null && to < span.from)) continue;
      const held = benches.get(bench) ?? [];
      benches.set(bench, held);
      held.push({ pair, id, stage, shoe, hands, from, to, timed, outcome });
    }
  return [...benches]
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .map(([bench, spells]) => ({ bench, spells: spells.sort((a, b) => a.from - b.from) }));
}

/** Of a pair's spells alone: never clocked out, ended at a time that nobody knows, worked while nobody was badged on. */
import type { PairState, Spell } from './fold/pair-state.ts';
import { openSpells } from './fold/spells.ts';
import type { PairId, RecordId } from './ids.ts';
import type { Instant } from './instant.ts';
import type { Found } from './put-right-found.ts';
import type { ShiftTimes } from './put-right-times.ts';
import type { PutRightKind } from './record/kinds.ts';

/** When the shift that began last began, be it over or not; before the site has any, nothing is old. */
export function lastBegun(shifts: readonly Pick<ShiftTimes, 'from'>[], now: Instant): Instant {
  return shifts.reduce(
    (last, { from }) => (from <= now && from > last ? from : last),
    Number.NEGATIVE_INFINITY,
  );
}

export function leftOpen(state: PairState, shiftFrom: Instant): readonly Found[] {
  return openSpells(state)
    .filter(({ from }) => from < shiftFrom)
    .map((spell) => aboutWork('left-open', state.pair, spell));
}

/** What was done and never scanned at all is not here: whoever said so has said all that is known. */
export function endUnknown({ pair, spells }: PairState): readonly Found[] {
  return spells
    .filter((spell) => scanned(spell) && !spell.timed && spell.outcome !== 'open')
    .filter(({ amendedBy }) => amendedBy.length === 0)
    .map((spell) => aboutWork('end-unknown', pair, spell));
}

export function noHand({ pair, spells }: PairState): readonly Found[] {
  return spells
    .filter((spell) => scanned(spell) && spell.by === null)
    .map((spell) => aboutWork('no-hand', pair, spell));
}

/** Somebody clocked in; otherwise the spell is the word that it was done. */
export function scanned({ id, endedBy }: Spell): boolean {
  return endedBy !== id;
}

/** The records that a spell is made of, its clock-in first. */
export function recordsOf({ id, endedBy, amendedBy }: Spell): readonly RecordId[] {
  return [...new Set([id, ...(endedBy === null ? [] : [endedBy]), ...amendedBy])];
}

export function aboutWork(kind: PutRightKind, pair: PairId, spell: Spell): Found {
  const { id, from, by, bench, stage } = spell;
  const records = recordsOf(spell);
  return {
    kind,
    pair,
    of: id,
    records,
    since: from,
    hand: by,
    bench,
    stage,
    spell,
    against: [],
    missing: [],
  };
}

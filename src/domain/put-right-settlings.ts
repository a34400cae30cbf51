/** The ways in which an item of the list can be settled. */
import type { Spell } from './fold/pair-state.ts';
import type { PairId, RecordId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import type { Found } from './put-right-found.ts';
import { recordsOf, scanned } from './put-right-spells.ts';
import { offersFor, type ScanIndex, type ShiftTimes, type TimeOffer } from './put-right-times.ts';
import type { Shoe } from './record/kinds.ts';
import type { SiteBook } from './site-book.ts';

export interface AtSite {
  readonly book: SiteBook;
  readonly shifts: readonly ShiftTimes[];
  readonly now: Instant;
}

export type Settling =
  /** Give the work a time: its end alone, chosen or typed, or both ends. */
  | {
      readonly by: 'time';
      readonly pair: PairId;
      readonly spell: Spell;
      readonly asks: 'end' | 'both';
      readonly offers: readonly TimeOffer[];
    }
  /** The pair is logged with this ticket. */
  | { readonly by: 'log'; readonly pair: PairId }
  /** The missing stages were done, and nobody scanned. */
  | {
      readonly by: 'done-unscanned';
      readonly pair: PairId;
      readonly stages: readonly StageCode[];
      readonly shoe: Shoe;
    }
  | { readonly by: 'not-needed'; readonly pair: PairId; readonly stages: readonly StageCode[] }
  /** Records are taken back: all of a spell's, or the one that is odd. */
  | {
      readonly by: 'take-back';
      readonly pair: PairId;
      readonly spell: Spell | null;
      /** In the order in which they are to be taken back. */
      readonly of: readonly RecordId[];
    }
  | { readonly by: 'stands' };

const STANDS: Settling = { by: 'stands' };

/** The likeliest first. */
export function settlingsOf(item: Found, scans: ScanIndex, site: AtSite): readonly Settling[] {
  const { pair, spell } = item;
  if (pair === null) return [STANDS];
  const time = (of: Spell, asks: 'end' | 'both'): Settling => ({
    by: 'time',
    pair,
    spell: of,
    asks,
    offers: asks === 'end' ? offersFor(pair, of, scans, site) : [],
  });
  switch (item.kind) {
    case 'left-open':
    case 'end-unknown':
      return spell === null ? [STANDS] : [time(spell, 'end'), STANDS, ...workBack(pair, spell)];
    case 'open-at-two-benches':
    case 'hand-at-two-benches':
      return clash(item, pair, scans, site);
    case 'out-of-order':
      return [...forMissing(item, pair, site.book), STANDS, ...workBack(pair, spell)];
    case 'never-logged':
      return [{ by: 'log', pair }, STANDS];
    case 'no-hand':
    case 'work-after-closing':
      return [STANDS, ...workBack(pair, spell)];
    case 'clock-doubtful':
    case 'time-backwards':
      return [...(canBeTimed(spell) ? [time(spell, 'both')] : []), STANDS];
    case 'out-twice':
      return [STANDS, ...(canBeTimed(spell) ? [time(spell, 'both')] : []), ...recordBack(item, pair)];
    case 'void-of-nothing':
      return [STANDS];
    case 'logged-twice':
    case 'out-without-in':
    case 'amended-apart':
    case 'answered-apart':
    case 'hand-without-spell':
    case 'time-without-spell':
    case 'note-unknown':
      return [STANDS, ...recordBack(item, pair)];
    default:
      return item.kind satisfies never;
  }
}

function canBeTimed(spell: Spell | null): spell is Spell {
  return spell !== null && spell.outcome !== 'open';
}

/** Which of the two is wrong only a person knows: the earlier may have ended before, or either may be no work at all. */
function clash({ spell, against }: Found, pair: PairId, scans: ScanIndex, site: AtSite): readonly Settling[] {
  const ends = against.map((other): Settling => {
    const offers = offersFor(other.pair, other.spell, scans, site);
    return { by: 'time', pair: other.pair, spell: other.spell, asks: 'end', offers };
  });
  const others = against.flatMap((other) => workBack(other.pair, other.spell));
  return [...ends, STANDS, ...workBack(pair, spell), ...others];
}

/** What the owner or the final check has to say, nobody else can say for them. */
function forMissing(
  { missing, spell }: Found,
  pair: PairId,
  { ways, closingStage }: SiteBook,
): readonly Settling[] {
  if (missing.some((stage) => stage === ways.owner)) return [];
  const shoe = spell?.shoe ?? 'both';
  const spareable = missing.every((stage) => stage !== ways.check && stage !== closingStage);
  return [
    { by: 'done-unscanned', pair, stages: missing, shoe },
    ...(spareable ? [{ by: 'not-needed', pair, stages: missing } as const] : []),
  ];
}

/** The end goes before the beginning, so that no end is ever left without one. */
function workBack(pair: PairId, spell: Spell | null): readonly Settling[] {
  if (spell === null || !scanned(spell)) return [];
  return [{ by: 'take-back', pair, spell, of: recordsOf(spell).toReversed() }];
}

function recordBack({ of }: Found, pair: PairId): readonly Settling[] {
  return [{ by: 'take-back', pair, spell: null, of: [of] }];
}

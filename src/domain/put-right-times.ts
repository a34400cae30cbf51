/**
 * Times to choose from for a missed clock-out. None is made up: each is an instant that the records or the calendar know,
 * and says what it is; whether it is also when the work ended, only a person can say.
 */
import type { Span } from './calendar/calendar.ts';
import type { NoteState, PairState, Spell } from './fold/pair-state.ts';
import type { OperativeId, PairId } from './ids.ts';
import { type Instant, MINUTE_MS } from './instant.ts';
import type { LedgerRecord } from './record/kinds.ts';

export interface ShiftTimes extends Span {
  readonly name?: string;
  readonly breaks?: readonly Span[];
}

export interface TimeOffer {
  readonly at: Instant;
  /** Which instant it is: a scan of the same hand anywhere, one of the pair, or of the shift in which the work began. */
  readonly is: 'hand-next' | 'pair-next' | 'break' | 'shift-end';
}

/** Every scan that the folded pairs still know, in order, by hand and by pair. */
export interface ScanIndex {
  /** The first after `after`, or null. */
  nextOfHand(hand: OperativeId | null, after: Instant): Instant | null;
  nextOfPair(pair: PairId, after: Instant): Instant | null;
}

interface Scan {
  readonly by: OperativeId | null;
  readonly at: Instant;
}

export function scanIndex(states: readonly PairState[], bench: readonly LedgerRecord[]): ScanIndex {
  const byPair = new Map(states.map((state) => [state.pair, state]));
  let hands: Map<OperativeId, Instant[]> | null = null;
  return {
    nextOfHand: (hand, after) => {
      hands ??= handsOf([...states.flatMap(scansOf), ...bench]);
      return hand === null ? null : firstAfter(hands.get(hand) ?? [], after);
    },
    nextOfPair: (pair, after) => {
      const state = byPair.get(pair);
      return state === undefined ? null : firstAfter(instantsOf(state), after);
    },
  };
}

function handsOf(scans: readonly Scan[]): Map<OperativeId, Instant[]> {
  const hands = new Map<OperativeId, Instant[]>();
  for (const { by, at } of scans) {
    if (by === null) continue;
    const own = hands.get(by);
    if (own === undefined) hands.set(by, [at]);
    else own.push(at);
  }
  return hands;
}

function firstAfter(instants: readonly Instant[], after: Instant): Instant | null {
  const later = instants.filter((at) => at > after);
  return later.length === 0 ? null : later.reduce((first, at) => Math.min(first, at));
}

/** Who clocked a spell out is not known from its fold, so that ends are nobody's scan here. */
function scansOf(state: PairState): readonly Scan[] {
  const { spells, notes, sentBack, checked, boxed, setAside, parted, met, pictures } = state;
  const records = [checked, boxed, setAside, parted, met].filter((record) => record !== null);
  return [
    ...spells.flatMap(({ by, from, joined }) => [
      { by, at: from },
      ...joined.map(({ hand, at }) => ({ by: hand, at })),
    ]),
    ...notes.flatMap(({ note, seen }: NoteState) => [note, ...seen]),
    ...sentBack,
    ...pictures,
    ...records,
  ];
}

function instantsOf(state: PairState): readonly Instant[] {
  const ends = state.spells.flatMap(({ to, timed }) => (to === null || !timed ? [] : [to]));
  return [...scansOf(state).map(({ at }) => at), ...ends];
}

/** In their order, one a minute: two scans of one act are seconds apart. None before the work began, in the future, or after its end was told. */
export function offersFor(
  pair: PairId,
  spell: Spell,
  scans: ScanIndex,
  { shifts, now }: { readonly shifts: readonly ShiftTimes[]; readonly now: Instant },
): readonly TimeOffer[] {
  const { from, by, to } = spell;
  const shift = shifts.find((one) => one.from <= from && from < one.to);
  const pause = shift?.breaks?.find((one) => one.from > from);
  const known: readonly (readonly [TimeOffer['is'], Instant | null | undefined])[] = [
    ['hand-next', scans.nextOfHand(by, from)],
    ['pair-next', scans.nextOfPair(pair, from)],
    ['break', pause?.from],
    ['shift-end', shift?.to],
  ];
  const before = to ?? now + 1;
  const offers = known.flatMap(([is, at]) => (at == null || at >= before || at > now ? [] : [{ is, at }]));
  return offers
    .filter(({ at }, index) => offers.findIndex((other) => minuteOf(other.at) === minuteOf(at)) === index)
    .toSorted((one, other) => one.at - other.at);
}

const minuteOf = (at: Instant): number => Math.floor(at / MINUTE_MS);

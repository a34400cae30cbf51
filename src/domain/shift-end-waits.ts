/** Of one pair: what holds it, and what it waits for, as far as that decides what is done when the shift ends. */
import { SET_ASIDE } from './catalogue/set-aside.ts';
import { stops } from './fold/notes.ts';
import type { PairState } from './fold/pair-state.ts';
import { openSpells } from './fold/spells.ts';
import { asStageCode, type PairId, type StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import { item, type ShiftEndItem } from './shift-end-items.ts';
import type { SiteBook } from './site-book.ts';
import { dueOn, lastOf, settlingBefore, type Way } from './way.ts';

/** The catalogue's stage at which closers mend uppers. */
const CLOSING_REPAIRS = asStageCode('CLO');

/** Stop notes that hold, and being set aside, but for what waits for a last or a part. */
export function heldUp(state: PairState): readonly ShiftEndItem[] {
  const { pair, setAside } = state;
  const notes = state.notes.filter(stops).map(({ note }) => {
    const { id, at, bench, by, text } = note;
    return item({ pair, since: at, bench, by, why: text, record: id });
  });
  if (setAside === null || waitsFor(state, SET_ASIDE.last) || waitsFor(state, SET_ASIDE.part)) return notes;
  return [...notes, aside(state, setAside)];
}

/** Set aside for it, or its way begins with the last and another pair has that. */
export function forLast(
  state: PairState,
  due: readonly StageCode[],
  book: SiteBook,
  heldBy: (last: string, pair: PairId) => boolean,
): readonly ShiftEndItem[] {
  const { pair, setAside, details } = state;
  if (setAside !== null && waitsFor(state, SET_ASIDE.last)) return [aside(state, setAside)];
  const stage = book.ways.lastFrom;
  if (details === null || stage === null || !due.includes(stage) || setAside !== null) return [];
  return heldBy(lastOf(details), pair) ? [fromWay(state, stage)] : [];
}

export function forPart(state: PairState): readonly ShiftEndItem[] {
  const { setAside } = state;
  return setAside !== null && waitsFor(state, SET_ASIDE.part) ? [aside(state, setAside)] : [];
}

export function forCloser(state: PairState, due: readonly StageCode[]): readonly ShiftEndItem[] {
  return due.includes(CLOSING_REPAIRS) && isFree(state) ? [fromWay(state, CLOSING_REPAIRS)] : [];
}

export function forOwner({ pair, owner }: PairState, now: Instant): readonly ShiftEndItem[] {
  return owner.is === 'asked' ? [item({ pair, since: owner.since ?? now, why: owner.why })] : [];
}

/** Dries or sets now, and can be worked when the next shift begins. The stage is the one that can then be begun. */
export function firstThing(
  state: PairState,
  way: Way,
  due: readonly StageCode[],
  book: SiteBook,
  { now, next }: { readonly now: Instant; readonly next: Instant },
): readonly ShiftEndItem[] {
  if (!isFree(state)) return [];
  const found = due.flatMap((stage) => {
    const settling = settlingBefore(state, way, book, stage, now);
    const until = Math.max(...settling.map((one) => one.until));
    return settling.length > 0 && until <= next ? [{ ...fromWay(state, stage), until }] : [];
  });
  // Of a pair that several stages wait for, what comes first in the usual order speaks for all.
  return found.slice(0, 1);
}

/** The fronts of a pair that nobody works at now. */
export function dueNowOn(state: PairState, way: Way): readonly StageCode[] {
  const working = openSpells(state).map(({ stage }) => stage);
  return dueOn(way).filter((stage) => stage !== way.ways.owner && !working.includes(stage));
}

function waitsFor({ setAside }: PairState, reason: string): boolean {
  return setAside?.reason === reason;
}

function isFree({ setAside, owner, notes }: PairState): boolean {
  return setAside === null && owner.is !== 'stopped' && !notes.some(stops);
}

function aside(
  { pair }: PairState,
  { id, at, stage, bench, by, reason }: NonNullable<PairState['setAside']>,
): ShiftEndItem {
  return item({ pair, since: at, stage, bench, by, why: reason, record: id });
}

/** No record says that it waits: it does so since it was last met. */
function fromWay({ pair, met }: PairState, stage: StageCode): ShiftEndItem {
  return item({ pair, since: met?.at ?? 0, stage, bench: met?.bench ?? null, record: met?.id ?? null });
}

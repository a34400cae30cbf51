/**
 * What a supervisor looks at when the shift ends, from the folded pairs, the site's book and the machines that may not be
 * run. Only pairs that are in the works; the oldest first in each kind; nothing here ranks people.
 */
import type { PairState } from './fold/pair-state.ts';
import { openSpells } from './fold/spells.ts';
import type { BenchId, OperativeId, PairId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import { item, SHIFT_END_KINDS, type ShiftEndItem, type ShiftEndKind } from './shift-end-items.ts';
import { learnersWork } from './shift-end-learners.ts';
import { dueNowOn, firstThing, forCloser, forLast, forOwner, forPart, heldUp } from './shift-end-waits.ts';
import type { SiteBook } from './site-book.ts';
import { wayOf } from './way.ts';
import { dayIn } from './whereabouts-promise.ts';

export type ShiftEnd = Readonly<Record<ShiftEndKind, readonly ShiftEndItem[]>>;

/** A machine that may not be run. */
export interface StoppedMachine {
  readonly bench: BenchId;
  readonly stage: StageCode;
  readonly why: string;
  readonly since: Instant;
  readonly by: OperativeId | null;
}

export interface ShiftEndAsked {
  readonly book: SiteBook;
  readonly outOfUse: readonly StoppedMachine[];
  /** The shift that runs or ended last. */
  readonly shift: { readonly day: string; readonly from: Instant; readonly to: Instant };
  readonly now: Instant;
}

/** A ticket that nobody had in hand on so many days of work may be lost. */
const UNSEEN_DAYS = 2;

export function shiftEnd(pairs: Iterable<PairState>, asked: ShiftEndAsked): ShiftEnd {
  const states = [...pairs];
  // A number that nobody had in hand is none of the pairs here.
  const here = states.filter(({ closedAt, met }) => closedAt === null && met !== null);
  const found = [
    ...here.flatMap(inWork(asked, lastsTaken(here))),
    // A pair that was sent back and has left since was sent back all the same.
    ...states.flatMap((state) => sentBack(state, asked.shift)),
    ...asked.outOfUse.map(outOfUse),
  ];
  const kinds = SHIFT_END_KINDS.map((kind) => [kind, ofKind(found, kind)] as const);
  return Object.fromEntries(kinds) as unknown as ShiftEnd;
}

type Found = readonly [ShiftEndKind, ShiftEndItem];

function ofKind(found: readonly Found[], kind: ShiftEndKind): readonly ShiftEndItem[] {
  return found
    .filter(([of]) => of === kind)
    .map(([, one]) => one)
    .sort((one, other) => one.since - other.since);
}

function under(kind: ShiftEndKind, items: readonly ShiftEndItem[]): readonly Found[] {
  return items.map((one) => [kind, one] as const);
}

function inWork({ book, shift, now }: ShiftEndAsked, lasts: ReadonlyMap<string, ReadonlySet<PairId>>) {
  const next = book.shifts.find(({ from }) => from >= Math.max(now, shift.to))?.from ?? null;
  const workDays = daysOfWork(book, shift.day);
  const heldBy = (last: string, pair: PairId) => [...(lasts.get(last) ?? [])].some((other) => other !== pair);
  return (state: PairState): readonly Found[] => {
    const way = wayOf(state, book);
    const due = way === null ? [] : dueNowOn(state, way);
    const held = heldUp(state);
    return [
      ...under('clocked-in', clockedIn(state)),
      ...under(
        'without-a-name',
        held.filter(({ by }) => by === null),
      ),
      ...under(
        'stopped',
        held.filter(({ by }) => by !== null),
      ),
      ...under('parted', parted(state)),
      ...under('not-seen', notSeen(state, book, workDays)),
      ...under('learners', learnersWork(state)),
      ...under('for-owner', forOwner(state, now)),
      ...under('for-last', forLast(state, due, book, heldBy)),
      ...under('for-part', forPart(state)),
      ...under('for-closer', forCloser(state, due)),
      ...under(
        'first-thing',
        way === null || next === null ? [] : firstThing(state, way, due, book, { now, next }),
      ),
    ];
  };
}

function clockedIn(state: PairState): readonly ShiftEndItem[] {
  return openSpells(state).map(({ id, from, stage, bench, by }) =>
    item({ pair: state.pair, since: from, stage, bench, by, record: id }),
  );
}

function parted({ pair, parted: word }: PairState): readonly ShiftEndItem[] {
  if (word === null) return [];
  const { id, at, bench, by, why } = word;
  return [item({ pair, since: at, bench, by, why, record: id })];
}

/** In this shift, each time for itself: what is sent back twice is so twice. */
function sentBack(
  { pair, sentBack: words }: PairState,
  { from, to }: ShiftEndAsked['shift'],
): readonly Found[] {
  const inShift = words.filter(({ at }) => at >= from && at < to);
  return under(
    'sent-back',
    inShift.map(({ id, at, to: stage, bench, by, reason, fault }) =>
      item({ pair, since: at, stage, bench, by, why: reason, fault, record: id }),
    ),
  );
}

function outOfUse({ bench, stage, why, since, by }: StoppedMachine): Found {
  return ['out-of-use', item({ pair: null, since, stage, bench, by, why })];
}

/** Days on which the site had a shift, up to the shift in question; an older book does not tell a shift's day. */
function daysOfWork({ shifts, timeZone }: SiteBook, last: string): readonly string[] {
  const days = new Set(shifts.map(({ day, from }) => (day === '' ? dayIn(from, timeZone) : day)));
  return [...days].filter((day) => day <= last).sort();
}

function notSeen(
  { pair, met }: PairState,
  book: SiteBook,
  workDays: readonly string[],
): readonly ShiftEndItem[] {
  if (met === null) return [];
  const day = dayIn(met.at, book.timeZone);
  if (workDays.filter((one) => one > day).length < UNSEEN_DAYS) return [];
  const { id, at, bench, by } = met;
  return [item({ pair, since: at, bench, by, record: id })];
}

function lastsTaken(states: readonly PairState[]): ReadonlyMap<string, ReadonlySet<PairId>> {
  const taken = new Map<string, Set<PairId>>();
  for (const { pair, last } of states)
    if (last !== null) taken.set(last, (taken.get(last) ?? new Set()).add(pair));
  return taken;
}

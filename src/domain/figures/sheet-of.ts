/** The shift sheet, put together from the facts of the pairs. */
import type { ShiftSpan, Span } from '../calendar/calendar.ts';
import type { BenchId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord } from '../record/kinds.ts';
import type { SiteBook } from '../site-book.ts';
import { type AtStage, byStage, NOTHING_THERE } from './at-stage.ts';
import { type Presence, presencesOf } from './attendance.ts';
import type { PairFacts, SpellFacts } from './facts.ts';
import { grouped } from './grouped.ts';
import { handFigures } from './hand-figures.ts';
import { hereFrom, lineFigures, type PairHere } from './line-figures.ts';
import { type Moment, spanOf } from './moment.ts';
import { OffTime } from './off-time.ts';
import { pairFigures } from './pair-figures.ts';
import type { ShiftSheet } from './sheet.ts';
import { ALWAYS } from './spans.ts';
import { stageFigures } from './stage-figures.ts';
import { handWork, touchWithin } from './touch.ts';

export interface SheetInput {
  readonly shift: ShiftSpan;
  /** The end of the shift, or the moment of asking while it runs. */
  readonly at: Instant;
  /** Every pair that was in the works at some time of the shift; more do no harm. */
  readonly facts: readonly PairFacts[];
  /** Badges on and off of all benches, from some hours before the shift; other records do no harm. */
  readonly attendance: readonly LedgerRecord[];
  /** The site's shifts as far back as breaks are to be known, the shift itself among them or not. */
  readonly shifts: readonly ShiftSpan[];
  readonly book: Pick<SiteBook, 'stages' | 'benches' | 'timeZone'>;
  /** What Little's law is held against. */
  readonly lookBack: Span;
  /** Every pair that was in the works at some time of `lookBack`; left out, `facts` has to hold them all. */
  readonly here?: readonly PairHere[];
}

/** Stages in the order of the book, others after them; hands by id. The same input gives the same sheet. */
export function shiftSheet(input: SheetInput): ShiftSheet {
  const { shift, at, facts, book, lookBack } = input;
  const moment: Moment = { shift, at };
  const span = spanOf(moment);
  const shifts = [...input.shifts.filter((other) => !isSame(other, shift)), shift];
  const off = new OffTime(shifts);
  const work = handWork(facts, off);
  const touched = touchWithin(work, { ...ALWAYS, to: at });
  const touchedInShift = touchWithin(work, span);
  const on = presencesOf(input.attendance, shifts).flatMap((presence) => clipped(presence, span));
  const there = byStage(facts);
  const [allOf, duringOf] = [touched, touchedInShift].map((touches) =>
    grouped(touches, ({ spell }) => spell.stage),
  );
  const stages = stagesOf(book, there.keys()).map((stage) => {
    const atStage = there.get(stage) ?? NOTHING_THERE;
    const benches = benchesOf(stage, book, atStage, span);
    const input = {
      stage,
      there: atStage,
      touched: allOf?.get(stage) ?? [],
      touchedInShift: duringOf?.get(stage) ?? [],
      on: on.filter(({ bench }) => benches.has(bench)),
    };
    return stageFigures(input, moment, off);
  });
  return {
    shift,
    at,
    stages,
    hands: handFigures({ stages: there, touched: touchedInShift, on }, span, off),
    pairs: pairFigures(facts, touched, moment, book.timeZone),
    line: lineFigures(facts, input.here ?? hereFrom(facts), stages, moment, lookBack),
    amended: facts.flatMap(({ pair, spells }) =>
      spells
        .filter((spell) => touches(spell, span))
        .flatMap(({ amendedBy }) => amendedBy.map((record) => ({ pair, record }))),
    ),
  };
}

function isSame(one: ShiftSpan, other: ShiftSpan): boolean {
  return one.from === other.from && one.to === other.to && one.name === other.name;
}

function clipped(presence: Presence, { from, to }: Span): readonly Presence[] {
  const cut = { ...presence, from: Math.max(presence.from, from), to: Math.min(presence.to, to) };
  return cut.from < cut.to ? [cut] : [];
}

function touches({ from, to }: SpellFacts, span: Span): boolean {
  return from < span.to && (to === null || to >= span.from);
}

function stagesOf({ stages }: Pick<SiteBook, 'stages'>, met: Iterable<StageCode>): readonly StageCode[] {
  return [...new Set([...stages.map(({ code }) => code), ...met])];
}

/** Benches that the book sets to the stage, and those where somebody worked at it in the shift. */
function benchesOf(
  stage: StageCode,
  { benches }: Pick<SiteBook, 'benches'>,
  { spells }: AtStage,
  span: Span,
): ReadonlySet<BenchId> {
  const set = benches.filter(({ stages }) => stages.includes(stage)).map(({ bench }) => bench);
  const met = spells.filter(({ fact }) => touches(fact, span)).map(({ fact }) => fact.bench);
  return new Set([...set, ...met]);
}

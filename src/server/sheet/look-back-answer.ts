/** How a shift stands against the weeks before it: the series behind the charts. */
import type { ShiftSpan } from '../../domain/calendar/calendar.ts';
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import type { PairFacts } from '../../domain/figures/facts.ts';
import { individualsOf } from '../../domain/figures/individuals.ts';
import {
  dailyOutput,
  type Finishing,
  finishings,
  hourlyOutput,
  leavings,
  USUAL_WEEKS,
  usualOutput,
} from '../../domain/figures/output.ts';
import { queuesOver } from '../../domain/figures/queue.ts';
import { type Strip, stripsOver } from '../../domain/figures/strips.ts';
import type { StageCode } from '../../domain/ids.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { LookBackAnswer } from '../../wire/sheet.ts';
import { type Asked, momentOf } from './asked.ts';

/** Shifts in the small bars beside the table. */
const SHIFTS_SHOWN = 20;
/** Working days in the chart of individuals. */
const DAYS_SHOWN = 30;

/** How far back the facts have to reach for a shift. */
export function lookBackFrom(shift: ShiftSpan): Instant {
  return shift.from - (USUAL_WEEKS * 7 + 1) * DAY_MS;
}

/** @param facts of the pairs that were in the works since `lookBackFrom` */
export function lookBackAnswer(
  facts: readonly PairFacts[],
  { book, calendar, now }: Asked,
  shift: ShiftSpan,
): LookBackAnswer {
  const at = momentOf(shift, now);
  const span = { from: lookBackFrom(shift), to: at };
  const shifts = shiftsBetween(calendar, book.timeZone, span.from, at).filter(
    ({ from }) => from <= shift.from,
  );
  const done = finishings(facts, span);
  const queues = queuesOver(facts, { from: shift.from, to: at });
  return {
    stages: book.stages.map(({ code }) => stageLooked(code, { done, shifts, queues, zone: book.timeZone })),
    hours: hours(leavings(facts, book.closingStage, span), book.closingStage, shift, shifts, at),
    strips: strips(facts, book, shift, at),
  };
}

interface Looked {
  readonly done: readonly Finishing[];
  readonly shifts: readonly ShiftSpan[];
  readonly queues: ReturnType<typeof queuesOver>;
  readonly zone: string;
}

function stageLooked(
  stage: StageCode,
  { done, shifts, queues, zone }: Looked,
): LookBackAnswer['stages'][number] {
  const here = done.filter((one) => one.stage === stage);
  const days = individualsOf(dailyOutput(here, stage, shifts, zone).slice(-DAYS_SHOWN));
  const { limits } = days;
  return {
    stage,
    shifts: shifts.slice(-SHIFTS_SHOWN).map(({ from, to }) => ({
      from,
      out: hourlyOutput(here, stage, { from, to }).at(-1)?.sum ?? 0,
    })),
    days: days.points.map(({ day, value, outside }) => ({ day, out: value, outside })),
    limits: limits === null ? null : { mean: limits.mean, lower: limits.lower, upper: limits.upper },
    queue: [...(queues.get(stage) ?? [])],
  };
}

/** From nothing at the beginning. What is usual runs on to the shift's end, this shift only to the hour that has begun. */
function hours(
  left: readonly Finishing[],
  closing: StageCode,
  shift: ShiftSpan,
  shifts: readonly ShiftSpan[],
  at: Instant,
): LookBackAnswer['hours'] {
  const usual = usualOutput(left, closing, shift, shifts);
  const all = hourlyOutput(left, closing, shift);
  return [
    { at: shift.from, boxed: 0, usual: usual === null ? null : 0 },
    ...all.map(({ from, to, sum }, hour) => ({
      at: to,
      boxed: from < at ? sum : null,
      usual: usual?.[hour] ?? null,
    })),
  ];
}

/** Benches in the order of the site's book, others after them; benches without work are left out. */
function strips(
  facts: readonly PairFacts[],
  book: SiteBook,
  shift: ShiftSpan,
  at: Instant,
): LookBackAnswer['strips'] {
  const places = new Map(book.benches.map(({ bench }, place) => [bench, place]));
  const place = ({ bench }: Strip) => places.get(bench) ?? places.size;
  return stripsOver(facts, { from: shift.from, to: at })
    .toSorted((one, other) => place(one) - place(other))
    .map(({ bench, spells }) => ({
      bench,
      name: book.benches.find((one) => one.bench === bench)?.name ?? bench,
      spells: spells.map(({ pair, stage, from, to, timed, outcome }) => ({
        pair,
        stage,
        from,
        to,
        timed,
        outcome,
      })),
    }));
}

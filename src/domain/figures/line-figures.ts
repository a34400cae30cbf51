/** How the whole line stood: what is in the works, what left, and which stage holds the others back. */
import type { Span } from '../calendar/calendar.ts';
import type { PairId } from '../ids.ts';
import { DAY_MS, type Instant } from '../instant.ts';
import type { PairFacts, StayFacts } from './facts.ts';
import { eachPairOnce, type Member, type OnShoe, total } from './member.ts';
import { type Moment, spanOf } from './moment.ts';
import type { LineFigures, StageFigures } from './sheet.ts';
import { holds } from './spans.ts';

/** From when to when a pair was in the works. */
export interface PairHere {
  readonly pair: PairId;
  readonly firstAt: Instant;
  /** When it left; null while it is here. */
  readonly lastAt: Instant | null;
}

/** @param here of every pair that was in the works at some time of `lookBack` */
export function lineFigures(
  all: readonly PairFacts[],
  here: readonly PairHere[],
  stages: readonly StageFigures[],
  moment: Moment,
  lookBack: Span,
): LineFigures {
  const span = spanOf(moment);
  return {
    inWork: all.flatMap((facts) =>
      facts.stays
        .filter(({ from, to }) => holds({ from: from.at, to: to?.at ?? null }, moment.at))
        .map(({ from }) => onePair(facts, [from.record])),
    ),
    boxed: eachPairOnce(all.flatMap((facts) => leftIn(facts, span, false))),
    handedBack: eachPairOnce(all.flatMap((facts) => leftIn(facts, span, true))),
    little: littleOf(here, lookBack),
    rolledYield: rolledYield(stages),
    holdsBack: holdsBack(stages),
  };
}

function onePair({ pair }: PairFacts, records: Member['records']): Member {
  return { pair, share: 1, records, ms: null };
}

function leftIn({ pair, stays }: PairFacts, span: Span, unfinished: boolean): readonly OnShoe[] {
  return stays
    .filter((stay) => stay.unfinished === unfinished)
    .flatMap(({ to }) =>
      to !== null && holds(span, to.at) ? [{ pair, shoe: 'both' as const, records: [to.record] }] : [],
    );
}

/**
 * What Little's law says of a span: mean number in the works from the area under its curve, departures a day, and the
 * mean lead time of those that left. A pair that came back counts as one that was here all the time where `here` has it so.
 */
export function littleOf(here: readonly PairHere[], { from, to }: Span): LineFigures['little'] {
  const days = (to - from) / DAY_MS;
  let area = 0;
  let leads = 0;
  let left = 0;
  for (const { firstAt, lastAt } of here) {
    area += Math.max(0, Math.min(lastAt ?? to, to) - Math.max(firstAt, from));
    if (lastAt === null || !holds({ from, to }, lastAt)) continue;
    left += 1;
    leads += lastAt - firstAt;
  }
  const inWork = days > 0 ? area / DAY_MS / days : 0;
  const perDay = days > 0 ? left / days : 0;
  const leadDays = left > 0 ? leads / DAY_MS / left : null;
  const closes = leadDays === null || leadDays === 0 ? null : inWork / perDay / leadDays;
  return { from, to, inWork, perDay, leadDays, closes };
}

/** A pair away between two stays is not in the works meanwhile. */
export function hereFrom(all: readonly PairFacts[]): readonly PairHere[] {
  return all.flatMap(({ pair, stays }) =>
    stays.map(({ from, to }: StayFacts) => ({ pair, firstAt: from.at, lastAt: to?.at ?? null })),
  );
}

/**
 * *Rolled throughput yield*: the share of pairs that would come through all stages without being sent back to one.
 * Null where no stage finished anything.
 */
export function rolledYield(stages: readonly Pick<StageFigures, 'out' | 'firstPass'>[]): number | null {
  const yields = stages
    .map(({ out, firstPass }) => [total(firstPass), total(out)] as const)
    .filter(([, out]) => out > 0);
  return yields.length === 0 ? null : yields.reduce((product, [good, out]) => product * (good / out), 1);
}

function holdsBack(stages: readonly StageFigures[]): LineFigures['holdsBack'] {
  const queues = stages.flatMap(({ stage, waiting, oldest, utilisation, workEach }) => {
    if (oldest === null) return [];
    const pairs = total(waiting);
    const queueMs = workEach === null ? null : pairs * workEach;
    return [{ stage, waiting: pairs, oldest: oldest.since, queueMs, utilisation }];
  });
  const [most] = queues.sort(
    (a, b) => (b.queueMs ?? -1) - (a.queueMs ?? -1) || b.waiting - a.waiting || a.oldest - b.oldest,
  );
  return most ?? null;
}

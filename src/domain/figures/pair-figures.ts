/** How long each pair has been in the works, and how much of that somebody worked on it. */
import { Temporal } from 'temporal-polyfill';
import { dayOn } from '../calendar/wall-time.ts';
import type { RecordId } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { PairFacts, StayFacts } from './facts.ts';
import { grouped } from './grouped.ts';
import { totalMs } from './member.ts';
import type { Moment } from './moment.ts';
import type { PairFigures } from './sheet.ts';
import { type Touch, touchMembers } from './touch.ts';

/** Of every pair that was in the works in the shift. @param touched all of it up to the moment */
export function pairFigures(
  all: readonly PairFacts[],
  touched: readonly Touch[],
  moment: Moment,
  timeZone: string,
): readonly PairFigures[] {
  const byPair = grouped(touched, ({ pair }) => pair);
  const today = dayOn(timeZone, moment.at);
  return all.flatMap((facts) => {
    const stay = lastStay(facts, moment.at);
    const left = stay === undefined ? null : leftBy(stay, moment.at);
    if (stay === undefined || (left !== null && left.at < moment.shift.from)) return [];
    const touch = touchMembers(byPair.get(facts.pair) ?? []);
    return [
      {
        pair: facts.pair,
        leadMs: (left?.at ?? moment.at) - facts.first.at,
        lead: leadRecords(facts, left?.record),
        touchMs: totalMs(touch),
        touch,
        daysLate: daysLate(facts.promised, left === null ? today : dayOn(timeZone, left.at)),
      },
    ];
  });
}

/** The stay that the pair was in at the moment, or the last before it. */
function lastStay({ stays }: PairFacts, at: Instant): StayFacts | undefined {
  return stays.findLast(({ from }) => from.at < at);
}

function leftBy({ to }: StayFacts, at: Instant): StayFacts['to'] {
  return to !== null && to.at <= at ? to : null;
}

function leadRecords({ first }: PairFacts, left: RecordId | undefined): readonly RecordId[] {
  return left === undefined ? [first.record] : [first.record, left];
}

function daysLate(promised: string | null, day: string): number | null {
  if (promised === null) return null;
  return Temporal.PlainDate.from(promised).until(day, { largestUnit: 'days' }).days;
}

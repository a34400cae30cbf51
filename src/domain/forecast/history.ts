/** What the site's own records of the last weeks say about how its work goes. */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { PairFacts } from '../figures/facts.ts';
import type { RecordId, StageCode } from '../ids.ts';
import { DAY_MS, type Instant } from '../instant.ts';
import type { SiteBook } from '../site-book.ts';
import { type Comings, comingsOf } from './comings.ts';
import { type CrewHistory, crewOf } from './hands.ts';
import { type HoldHistory, holdHistory } from './holds.ts';
import { type Returns, returnsOf } from './returns.ts';
import { takeUps } from './take-up.ts';
import { type TurnTaking, turnTaking } from './turn-taking.ts';
import { touchOf, type Visit, visitsOf } from './visits.ts';

export const WEEKS = 8;

export interface History {
  readonly since: Instant;
  readonly now: Instant;
  /** How much it is: finished visits of known length, and weeks from the first of them. */
  readonly spells: number;
  readonly weeks: number;
  readonly visits: readonly Visit[];
  readonly touch: ReadonlyMap<RecordId, number>;
  readonly takeUp: ReturnType<typeof takeUps>;
  readonly crew: CrewHistory;
  readonly holds: HoldHistory;
  readonly returns: ReadonlyMap<StageCode, Returns>;
  readonly comings: Comings;
  readonly turns: TurnTaking;
}

export interface Site {
  readonly book: SiteBook;
  /** From the beginning of the history to as far ahead as dates are wanted, by their beginning. */
  readonly shifts: readonly ShiftSpan[];
}

export interface HowFar {
  /** How far back it goes at most. */
  readonly weeks?: number;
  /** The records are whole from here on; before it pairs may be missing. */
  readonly wholeFrom?: Instant;
}

/**
 * @param facts of all pairs, open and closed, that were in the works in these weeks, as they were known at `now`
 */
export function historyOf(
  facts: readonly PairFacts[],
  { book, shifts }: Site,
  now: Instant,
  { weeks = WEEKS, wholeFrom }: HowFar = {},
): History {
  const first = wholeFrom ?? wholeSince(facts, now);
  const since = Math.max(first, now - weeks * 7 * DAY_MS);
  const past = shifts.filter(({ from, to }) => from < now && to > since);
  const touch = touchOf(facts, past);
  const visits = visitsOf(facts, touch, since);
  return {
    since,
    now,
    spells: visits.length,
    weeks: (now - since) / (7 * DAY_MS),
    visits,
    touch,
    takeUp: takeUps(facts, past, since, book),
    crew: crewOf(facts, past, since),
    holds: holdHistory(facts, since, book),
    returns: returnsOf(facts, since, book),
    comings: comingsOf(facts, past, { since, now }, book),
    turns: turnTaking(facts, since, book),
  };
}

/**
 * From the first leaving: pairs that had left before are not among them, so of the time before they tell only half. From the
 * first coming where none has left.
 */
function wholeSince(facts: readonly PairFacts[], now: Instant): Instant {
  const leavings = facts.flatMap(({ closed }) => closed?.at ?? []);
  const from = leavings.length > 0 ? leavings : facts.map(({ first }) => first.at);
  return from.reduce((least, at) => Math.min(least, at), now);
}

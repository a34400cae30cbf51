/**
 * Whom the site's hands take first, seen at every clock-in for which several pairs stood there: mostly who was due first,
 * and who is nearly late before that. Only where nothing has to settle first, or a wait would not say since when.
 */
import type { PairFacts, WaitFacts } from '../figures/facts.ts';
import { grouped } from '../figures/grouped.ts';
import type { StageCode } from '../ids.ts';
import { DAY_MS, type Instant } from '../instant.ts';
import { routesNow, type SiteBook } from '../site-book.ts';
import { endOfDay } from './day-end.ts';

export interface TurnTaking {
  /** So long before the end of its promised day a pair is nearly late. */
  readonly nearMs: number;
  /** So much sooner than it was due it takes its turn then. */
  readonly rushMs: number;
  /** What that does not tell: how much later each pair taken was in turn than the first; at least one, 0 in turn. */
  readonly outOfTurnMs: readonly number[];
}

/** The latest clock-ins say how it is now, and more add nothing. */
const SAMPLES_MOST = 1500;
const NEAR_DAYS = [0, 1, 2, 4];
const RUSH_DAYS = [0, 0.5, 1, 2, 4, 8];
/** A habit has to tell so many more of the turns than none does. */
const TELLS_LEAST = 0.01;

interface Standing extends WaitFacts {
  /** The end of the promised day. */
  readonly lateFrom: Instant;
}

/** A clock-in, and who else stood there. */
interface Choice {
  readonly at: Instant;
  readonly taken: Standing;
  readonly others: readonly Standing[];
}

type Habit = Pick<TurnTaking, 'nearMs' | 'rushMs'>;

export function turnTaking(facts: readonly PairFacts[], since: Instant, book: SiteBook): TurnTaking {
  const settled = settledStages(book);
  const waits = facts.flatMap(({ promised, waits: own }) => {
    const lateFrom = promised === null ? Number.POSITIVE_INFINITY : endOfDay(promised, book.timeZone);
    return own
      .filter(({ stage, to }) => settled.has(stage) && (to ?? since) >= since)
      .map((wait) => ({ ...wait, lateFrom }));
  });
  const choices = [...grouped(waits, ({ stage }) => stage).values()]
    .flatMap(choicesAt)
    .sort((a, b) => a.at - b.at)
    .slice(-SAMPLES_MOST);
  if (choices.length === 0) return { ...NO_HABIT, outOfTurnMs: [0] };
  const habit = habitOf(choices);
  return { ...habit, outOfTurnMs: choices.map((choice) => outOfTurn(choice, habit)) };
}

/** Stages before which nothing dries, cools or mellows. */
function settledStages({ stages, ...book }: SiteBook): ReadonlySet<StageCode> {
  const settling = new Set(
    stages.filter(({ settles }) => settles !== null && settles.most > 0).map(({ code }) => code),
  );
  const needs = routesNow({ stages, ...book })?.needs ?? [];
  return new Set(
    stages
      .map(({ code }) => code)
      .filter((code) => !needs.some(({ stage, needs: before }) => stage === code && settling.has(before))),
  );
}

function choicesAt(waits: readonly Standing[]): readonly Choice[] {
  const begun = waits
    .filter(({ served, to }) => served && to !== null)
    .sort((a, b) => (a.to ?? 0) - (b.to ?? 0));
  const coming = [...waits].sort((a, b) => a.from - b.from);
  const standing = new Set<Standing>();
  let next = 0;
  return begun.flatMap((taken) => {
    const at = taken.to ?? taken.from;
    for (let wait = coming[next]; wait !== undefined && wait.from < at; wait = coming[next]) {
      standing.add(wait);
      next += 1;
    }
    for (const wait of standing) if (wait.to !== null && wait.to < at) standing.delete(wait);
    const others = [...standing].filter((wait) => wait !== taken);
    return others.length === 0 ? [] : [{ at, taken, others }];
  });
}

const NO_HABIT: Habit = { nearMs: 0, rushMs: 0 };

/** The habit that tells most of the turns. */
function habitOf(choices: readonly Choice[]): Habit {
  const told = (habit: Habit) =>
    choices.filter((choice) => outOfTurn(choice, habit) === 0).length / choices.length;
  let best = { habit: NO_HABIT, share: told(NO_HABIT) + TELLS_LEAST };
  for (const near of NEAR_DAYS)
    for (const rush of RUSH_DAYS) {
      const habit = { nearMs: near * DAY_MS, rushMs: rush * DAY_MS };
      const share = told(habit);
      if (share > best.share) best = { habit, share };
    }
  return best.habit;
}

function outOfTurn({ at, taken, others }: Choice, habit: Habit): number {
  const own = turnOf(taken, at, habit);
  return others.reduce((most, other) => Math.max(most, own - turnOf(other, at, habit)), 0);
}

function turnOf({ from, lateFrom }: Standing, at: Instant, { nearMs, rushMs }: Habit): number {
  return at > lateFrom - nearMs ? from - rushMs : from;
}

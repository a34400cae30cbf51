/**
 * Whether the promised day still stands. What is known for certain is the drying, cooling and mellowing that is left:
 * no hand can hurry it, so it gives the earliest moment at which the pair can go out, never a forecast of when it will.
 */
import { Temporal } from 'temporal-polyfill';
import { dayOn } from './calendar/wall-time.ts';
import type { PairState } from './fold/pair-state.ts';
import type { StageCode } from './ids.ts';
import { type Instant, MINUTE_MS } from './instant.ts';
import type { SiteBook } from './site-book.ts';
import { lastDone, type Way } from './way.ts';

export interface PromiseNow {
  /** `2026-12-10` */
  readonly day: string;
  /** Days of the site's calendar from today, or from the day it went out; below 0 when it was or is late. */
  readonly daysTo: number;
  /**
   * `kept`, `missed`: it has gone out. `late`: the day has passed. `cannot`: drying alone goes beyond the day.
   * `hangs`: the owner has yet to answer. `stands`: nothing known is against it.
   */
  readonly stands: 'kept' | 'missed' | 'late' | 'cannot' | 'hangs' | 'stands';
  /** Before this the pair cannot go out, whoever works on it; null where nothing is left to dry. */
  readonly notBefore: Instant | null;
}

/** @param day the promised day */
export function promiseNow(
  state: PairState,
  day: string,
  way: Way | null,
  book: SiteBook,
  now: Instant,
): PromiseNow {
  const out = state.closedAt;
  const notBefore = way === null || out !== null ? null : earliestOut(state, way, book, now);
  const daysTo = daysBetween(dayIn(out ?? now, book.timeZone), day);
  const beyond = notBefore !== null && daysBetween(dayIn(notBefore, book.timeZone), day) < 0;
  return { day, daysTo, stands: standing(state, daysTo, beyond), notBefore };
}

function standing({ closedAt, owner }: PairState, daysTo: number, beyond: boolean): PromiseNow['stands'] {
  if (closedAt !== null) return daysTo < 0 ? 'missed' : 'kept';
  if (daysTo < 0) return 'late';
  if (beyond) return 'cannot';
  return owner.is === 'asked' ? 'hangs' : 'stands';
}

/** The calendar day of the site that the instant falls on. */
export function dayIn(at: Instant, timeZone: string): string {
  return dayOn(timeZone, at);
}

function daysBetween(from: string, to: string): number {
  return Temporal.PlainDate.from(from).until(Temporal.PlainDate.from(to), { largestUnit: 'day' }).days;
}

/** The closing stage can begin no earlier than this if all work took no time at all; null where nothing waits. */
function earliestOut(state: PairState, way: Way, book: SiteBook, now: Instant): Instant | null {
  const steps = new Map(way.route.map((step) => [step.stage, step]));
  const least = new Map(book.stages.map(({ code, settles }) => [code, (settles?.least ?? 0) * MINUTE_MS]));
  const known = new Map<StageCode, Instant>();
  /** When what follows the stage may begin. */
  const settledAt = (stage: StageCode): Instant => {
    const wait = least.get(stage) ?? 0;
    if (!way.done.has(stage)) {
      const needed = steps.get(stage)?.need === 'always';
      return canBegin(stage) + (needed ? wait : 0);
    }
    const spell = lastDone(state, stage);
    // A stage that nobody scanned may have been done at any time before it was told.
    return spell === null || !spell.timed || spell.to === null ? now : spell.to + wait;
  };
  const canBegin = (stage: StageCode): Instant => {
    const held = known.get(stage);
    if (held !== undefined) return held;
    // Stands in for the stage while its own needs are walked, should a site's route run in a ring.
    known.set(stage, now);
    const at = Math.max(now, ...(steps.get(stage)?.after ?? []).map(settledAt));
    known.set(stage, at);
    return at;
  };
  const at = canBegin(book.closingStage);
  return at > now ? at : null;
}

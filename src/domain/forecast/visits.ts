/** How long the stages take, from the site's own touch times. */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { PairFacts, SpellFacts } from '../figures/facts.ts';
import { OffTime } from '../figures/off-time.ts';
import { ALWAYS } from '../figures/spans.ts';
import { handWork, touchWithin } from '../figures/touch.ts';
import type { RecordId, StageCode } from '../ids.ts';
import { type Instant, MINUTE_MS } from '../instant.ts';
import type { Job } from '../record/kinds.ts';
import { spanAt } from './spans-at.ts';

/** One going through a stage, from its first clock-in to its being done or sent back. */
export interface Visit {
  readonly stage: StageCode;
  readonly job: Job | null;
  /** Touch time of all its spells together. */
  readonly ms: number;
}

/** So long after the shift's end a clock-out still tells when the work ended; later it tells when it was remembered. */
const LATE_MS = 30 * MINUTE_MS;

/** Touch time of each spell of known length, by the hand that had it longest. */
export function touchOf(
  facts: readonly PairFacts[],
  shifts: readonly ShiftSpan[],
): ReadonlyMap<RecordId, number> {
  const off = new OffTime(shifts);
  const work = handWork(facts, off).filter(({ spell }) => isMeasured(spell, shifts));
  const touch = new Map<RecordId, number>();
  for (const { spell, ms } of touchWithin(work, ALWAYS))
    touch.set(spell.id, Math.max(ms, touch.get(spell.id) ?? 0));
  return touch;
}

/** Whether its end is that of the work. A spell that outlasts its shift was forgotten. */
export function isMeasured({ from, to, timed }: SpellFacts, shifts: readonly ShiftSpan[]): boolean {
  if (to === null || !timed) return false;
  const shift = spanAt(shifts, from);
  return shift === null || to <= shift.to + LATE_MS;
}

/** The visits that ended at `since` or later; those with a spell of unknown length left out. */
export function visitsOf(
  facts: readonly PairFacts[],
  touch: ReadonlyMap<RecordId, number>,
  since: Instant,
): readonly Visit[] {
  return facts.flatMap((pair) => {
    const visits: Visit[] = [];
    const sums = new Map<StageCode, number>();
    for (const spell of pair.spells) {
      const { stage, to, outcome } = spell;
      const sum = (sums.get(stage) ?? 0) + (touch.get(spell.id) ?? Number.NaN);
      sums.set(stage, sum);
      if (outcome === 'open' || (outcome === 'not-finished' && !wentBack(pair, spell))) continue;
      sums.delete(stage);
      if (to !== null && to >= since && sum > 0) visits.push({ stage, job: pair.job, ms: sum });
    }
    return visits;
  });
}

function wentBack({ sentBack }: PairFacts, { stage, from, to }: SpellFacts): boolean {
  return sentBack.some(
    (back) => back.from === stage && back.at >= from && back.at <= (to ?? from) + MINUTE_MS,
  );
}

/** Making records: each function gives the drafts that one act at a bench leaves in the ledger. */

import type { Spell } from './fold/pair.ts';
import type { BenchId, OperativeId, PairId, RecordId, SiteId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import { CURRENT_VERSION, type Draft, type Shoe } from './record/kinds.ts';

/** Where and when the act takes place. Ids and times come from the caller. */
export interface Making {
  readonly site: SiteId;
  readonly bench: BenchId;
  readonly by: OperativeId | null;
  readonly wall: { readonly ms: number; readonly offsetMs: number; readonly known: boolean };
  /** Gives a new id each time it is called. */
  readonly newId: () => RecordId;
}

/** The corrected instant of a reading of the tablet's clock; never before 1970, whatever the clock says. */
export function correctedInstant(wall: Making['wall']): Instant {
  return Math.min(Math.max(Math.round(wall.ms + wall.offsetMs), 0), 2 ** 48 - 1);
}

function envelope({ site, bench, by, wall, newId }: Making) {
  return { id: newId(), site, bench, by, wall, at: correctedInstant(wall), v: CURRENT_VERSION };
}

export function benchSet(making: Making, stages: readonly StageCode[]): Draft<'bench-set'> {
  return { ...envelope(making), kind: 'bench-set', stages: [...stages] };
}

export function badgedOn(making: Making): Draft<'badged-on'> {
  return { ...envelope(making), kind: 'badged-on' };
}

export function badgedOff(making: Making, why: 'badge' | 'hand-over' | 'quiet'): Draft<'badged-off'> {
  return { ...envelope(making), kind: 'badged-off', why };
}

export function clockedIn(
  making: Making,
  pair: PairId,
  stage: StageCode,
  unknownPair: boolean,
): Draft<'clocked-in'> {
  return { ...envelope(making), kind: 'clocked-in', pair, stage, unknownPair };
}

/** Ends a spell, whoever began it; `closingStage` is the site's last stage. */
export function clockedOut(
  making: Making,
  pair: PairId,
  spell: Spell,
  outcome: 'done' | 'not-finished',
  closingStage: StageCode,
): Draft<'clocked-out'> {
  const { id: of, stage } = spell;
  return {
    ...envelope(making),
    kind: 'clocked-out',
    pair,
    stage,
    of,
    outcome,
    closes: outcome === 'done' && stage === closingStage,
  };
}

export function setAside(making: Making, pair: PairId, stage: StageCode, reason: string): Draft<'set-aside'> {
  return { ...envelope(making), kind: 'set-aside', pair, stage, reason };
}

export function takenUp(making: Making, pair: PairId): Draft<'taken-up'> {
  return { ...envelope(making), kind: 'taken-up', pair };
}

export function sentBack(
  making: Making,
  pair: PairId,
  from: StageCode,
  to: StageCode,
  shoe: Shoe,
  reason: string,
): Draft<'sent-back'> {
  return { ...envelope(making), kind: 'sent-back', pair, from, to, shoe, reason };
}

export function noteSeen(making: Making, pair: PairId, note: RecordId, stage: StageCode): Draft<'note-seen'> {
  return { ...envelope(making), kind: 'note-seen', pair, note, stage };
}

export function voided(making: Making, pair: PairId | null, of: RecordId, why: string): Draft<'voided'> {
  return { ...envelope(making), kind: 'voided', pair, of, why };
}

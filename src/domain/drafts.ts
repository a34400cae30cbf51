/** Making records: each function gives the drafts that one act at a bench leaves in the ledger. */

import type { Spell } from './fold/pair-state.ts';
import type { BenchId, OperativeId, PairId, RecordId, SiteId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import type { Envelope } from './record/envelope.ts';
import { CURRENT_VERSION, type Draft, type RecordKind, type RecordOf } from './record/kinds.ts';

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

/** A kind's own fields. */
export type Said<Kind extends RecordKind> = Omit<RecordOf<Kind>, keyof Envelope | 'kind'>;

/** A record to be made, before it is known by whom, where and when. */
export type ToRecord = {
  readonly [Kind in RecordKind]: { readonly kind: Kind; readonly said: Said<Kind> };
}[RecordKind];

/** The draft of one record. */
export function draft<Kind extends RecordKind>(making: Making, kind: Kind, said: Said<Kind>): Draft<Kind> {
  const { site, bench, by, wall, newId } = making;
  const envelope = { id: newId(), site, bench, by, wall, at: correctedInstant(wall), v: CURRENT_VERSION };
  // The compiler cannot follow that envelope, kind and fields together are the kind; `Said` has checked the fields.
  return { ...envelope, kind, ...said } as unknown as Draft<Kind>;
}

/** Ends a spell, whoever began it; `closingStage` is the site's last stage. */
export function clockedOut(
  making: Making,
  pair: PairId,
  { id: of, stage }: Spell,
  outcome: 'done' | 'not-finished',
  closingStage: StageCode,
  timed = true,
): Draft<'clocked-out'> {
  const closes = outcome === 'done' && stage === closingStage;
  return draft(making, 'clocked-out', { pair, stage, of, outcome, closes, timed });
}

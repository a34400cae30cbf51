/** The records that settle an item: each way of settling, made of what a supervisor chose. */
import type { ToRecord } from './drafts.ts';
import type { StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import type { Found } from './put-right-found.ts';
import type { Settling } from './put-right-settlings.ts';

/** What was chosen for a spell; null where it stays as it is, or is not known. */
export interface TimesChosen {
  readonly from: Instant | null;
  readonly to: Instant | null;
  /** For a spell that is open: how the work ended. */
  readonly outcome: 'done' | 'not-finished' | null;
}

/** It stands as it is. */
export function standsAsItIs({ pair, of, kind }: Found, why: string): ToRecord {
  return { kind: 'looked-into', said: { pair, of, what: kind, why } };
}

/** What the fold still finds odd once the times are right has thereby been looked into. */
export function timeGiven(
  item: Found,
  { pair, spell }: Extract<Settling, { by: 'time' }>,
  chosen: TimesChosen,
  closingStage: StageCode,
  why: string,
): readonly ToRecord[] {
  const open = spell.outcome === 'open';
  const outcome = open ? chosen.outcome : null;
  const done = (open ? (outcome ?? 'not-finished') : spell.outcome) === 'done';
  const closes = done && spell.stage === closingStage;
  const { from, to } = chosen;
  const given: ToRecord = {
    kind: 'time-given',
    said: { pair, of: spell.id, from, to, outcome, closes, why },
  };
  const settles = item.kind === 'left-open' || item.kind === 'end-unknown';
  return settles ? [given] : [given, standsAsItIs(item, why)];
}

/** The records of everything else that is settled by one tap; none where it is settled by logging the pair. */
export function settledBy(
  item: Found,
  settling: Exclude<Settling, { by: 'time' }>,
  why: string,
): readonly ToRecord[] {
  switch (settling.by) {
    case 'stands':
      return [standsAsItIs(item, why)];
    case 'take-back':
      return settling.of.map((of) => ({ kind: 'voided', said: { pair: settling.pair, of, why } }));
    case 'done-unscanned':
      return settling.stages.map((stage) => ({
        kind: 'done-unscanned',
        said: { pair: settling.pair, stage, shoe: settling.shoe, why },
      }));
    case 'not-needed':
      return settling.stages.map((stage) => ({
        kind: 'not-needed',
        said: { pair: settling.pair, stage, why },
      }));
    case 'log':
      return [];
  }
}

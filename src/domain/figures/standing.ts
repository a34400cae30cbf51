/** The records of a pair that stand, in their order, and the instants at which what they say is now known to have been. */
import { inOrder, type Placed } from '../fold/order.ts';
import type { PairState, Spell } from '../fold/pair-state.ts';
import type { RecordId } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord } from '../record/kinds.ts';

export type Voided = Extract<LedgerRecord, { kind: 'voided' }>;

export interface Standing {
  /** Without what was taken back, and without the taking back. */
  readonly records: readonly Exclude<LedgerRecord, Voided>[];
  readonly spells: ReadonlyMap<RecordId, Spell>;
  /** The spell that a record ended. */
  readonly ended: ReadonlyMap<RecordId, Spell>;
}

export function standingOf(placed: readonly Placed[], state: PairState): Standing {
  const all = inOrder(placed).map(({ record }) => record);
  const gone = new Set(all.flatMap((record) => (record.kind === 'voided' ? [record.of] : [])));
  return {
    records: all.filter(
      (record): record is Exclude<LedgerRecord, Voided> => record.kind !== 'voided' && !gone.has(record.id),
    ),
    spells: new Map(state.spells.map((spell) => [spell.id, spell])),
    ended: new Map(
      state.spells.flatMap((spell) => (spell.endedBy === null ? [] : [[spell.endedBy, spell] as const])),
    ),
  };
}

/** When it happened: for the beginning and the end of work as a supervisor has put it right, else as it was recorded. */
export function happenedAt(record: LedgerRecord, { spells, ended }: Standing): Instant {
  const begun = record.kind === 'clocked-in' ? spells.get(record.id) : undefined;
  return begun?.from ?? ended.get(record.id)?.to ?? record.at;
}

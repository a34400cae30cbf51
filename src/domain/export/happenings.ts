/**
 * What happened to a pair, for logs that other programs read: its records in the order of the fold, with everything that
 * was put right. What was taken back did not happen and is left out; so are ends that belong to no beginning. Work stands
 * with the times of its spell, which a supervisor may have given afterwards. The table of records holds all of it.
 */
import { inOrder, type Placed } from '../fold/order.ts';
import { foldPair } from '../fold/pair.ts';
import type { PairState, Spell } from '../fold/pair-state.ts';
import type { PairId, RecordId } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { LedgerRecord } from '../record/kinds.ts';

/** All records of one pair. */
export interface PairLog {
  readonly pair: PairId;
  readonly placed: readonly Placed[];
}

export type Happening =
  | {
      readonly is: 'begun' | 'finished' | 'put-down';
      readonly at: Instant;
      readonly record: LedgerRecord;
      readonly spell: Spell;
    }
  | { readonly is: 'told'; readonly at: Instant; readonly record: LedgerRecord };

export interface PairStory {
  readonly pair: PairId;
  readonly state: PairState;
  /** The records that stand, in the order of the fold. */
  readonly records: readonly LedgerRecord[];
  readonly happenings: readonly Happening[];
}

export function storyOf({ pair, placed }: PairLog): PairStory {
  const state = foldPair(pair, placed);
  const records = standing(inOrder(placed).map(({ record }) => record));
  const begun = new Map<RecordId, Spell>();
  const ended = new Map<RecordId, Spell>();
  for (const spell of state.spells) {
    begun.set(spell.id, spell);
    if (spell.endedBy !== null) ended.set(spell.endedBy, spell);
  }
  const happenings = records.flatMap((record): readonly Happening[] => {
    const spell = record.kind === 'clocked-in' ? begun.get(record.id) : ended.get(record.id);
    if (spell !== undefined) return work(record, spell);
    return SAID_ELSEWHERE.has(record.kind) ? [] : [{ is: 'told', at: record.at, record }];
  });
  return { pair, state, records, happenings };
}

/** Records that show in how others stand, and in nothing else. */
const SAID_ELSEWHERE: ReadonlySet<LedgerRecord['kind']> = new Set([
  'clocked-in',
  'clocked-out',
  'done-unscanned',
  'voided',
  'time-given',
  'looked-into',
]);

function work(record: LedgerRecord, spell: Spell): readonly Happening[] {
  const begun = { is: 'begun', at: spell.from, record, spell } as const;
  if (record.kind === 'clocked-in') return [begun];
  const is = spell.outcome === 'done' ? 'finished' : 'put-down';
  const ended = { is, at: spell.to ?? record.at, record, spell } as const;
  // Nobody scanned, and a supervisor has given both times since.
  return record.kind === 'done-unscanned' && spell.timed ? [begun, ended] : [ended];
}

/** Those that nobody has taken back. */
export function standing(records: readonly LedgerRecord[]): readonly LedgerRecord[] {
  const takenBack = new Set(records.flatMap((record) => (record.kind === 'voided' ? [record.of] : [])));
  return records.filter(({ id, kind }) => kind === 'voided' || !takenBack.has(id));
}

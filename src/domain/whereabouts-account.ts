/** A pair's account: every record of it, in the order of the fold, with what has become of each. None is left out. */
import { inOrder, type Placed } from './fold/order.ts';
import type { FlagKind, PairState } from './fold/pair-state.ts';
import type { LedgerRecord, RecordOf } from './record/kinds.ts';

export interface AccountLine {
  readonly record: LedgerRecord;
  /** The record that takes this one back; it stays in the account, and so does that. */
  readonly takenBackBy: RecordOf<'voided'> | null;
  /** What the fold found odd about it. */
  readonly flags: readonly FlagKind[];
  /** The server holds it; a record of this desk alone has still to be sent. */
  readonly sent: boolean;
}

/** Oldest first. @param state the fold of the same records, whose flags are set beside them */
export function accountOf(
  placed: readonly Placed[],
  { flags }: Pick<PairState, 'flags'>,
): readonly AccountLine[] {
  const ordered = inOrder(placed).map(({ record }) => record);
  const takenBack = new Map(
    ordered.flatMap((record) => (record.kind === 'voided' ? [[record.of, record] as const] : [])),
  );
  const sent = new Set(placed.filter(({ pos }) => pos !== null).map(({ record }) => record.id));
  return ordered.map((record) => ({
    record,
    // A taking back cannot itself be taken back.
    takenBackBy: record.kind === 'voided' ? null : (takenBack.get(record.id) ?? null),
    flags: flags.filter((flag) => flag.record === record.id).map(({ flag }) => flag),
    sent: sent.has(record.id),
  }));
}

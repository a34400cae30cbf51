/** What the records of benches that are about no pair say against each other. */
import { SLACK_MS } from './fold/order.ts';
import type { Found } from './put-right-found.ts';
import { type LedgerRecord, pairOf } from './record/kinds.ts';

/** The records that have not been taken back. */
export function standing(records: readonly LedgerRecord[]): readonly LedgerRecord[] {
  const taken = new Set(records.flatMap((record) => (record.kind === 'voided' ? [record.of] : [])));
  return records.filter(({ id, kind }) => kind === 'voided' || !taken.has(id));
}

/** A bench's own records follow its numbers, so an instant that goes back along them cannot be right. */
export function benchDoubts(records: readonly LedgerRecord[]): readonly Found[] {
  const inNumber = records
    .filter((record) => pairOf(record) === null)
    .toSorted((one, other) =>
      one.bench < other.bench ? -1 : one.bench > other.bench ? 1 : one.seq - other.seq,
    );
  return inNumber.flatMap((record, index): readonly Found[] => {
    const before = inNumber[index - 1];
    if (before?.bench !== record.bench || record.at + SLACK_MS >= before.at) return [];
    return [doubt(record)];
  });
}

function doubt({ id, at, by, bench }: LedgerRecord): Found {
  return {
    kind: 'clock-doubtful',
    pair: null,
    of: id,
    records: [id],
    since: at,
    hand: by,
    bench,
    stage: null,
    spell: null,
    against: [],
    missing: [],
  };
}

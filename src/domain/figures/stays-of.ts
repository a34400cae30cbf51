/** When a pair was in the works, told by its records in their order. */
import type { LedgerRecord } from '../record/kinds.ts';
import type { StayFacts, Told } from './facts.ts';
import { happenedAt, type Standing } from './standing.ts';

/** None where nothing stands. A pair that is worked or sent back after it had left is here again from then. */
export function staysOf(standing: Standing): readonly StayFacts[] {
  const stays: StayFacts[] = [];
  for (const record of standing.records) {
    const told = { at: happenedAt(record, standing), record: record.id };
    const last = stays.at(-1) ?? begun(told);
    if (stays.length === 0) stays.push(last);
    if (leaves(record, standing))
      // Told twice that it has left: the later word holds, as in the fold.
      stays[stays.length - 1] = {
        ...last,
        to: notBefore(last.from, told),
        unfinished: record.kind === 'handed-back',
      };
    else if (last.to !== null && comesBack(record)) stays.push(begun(notBefore(last.to, told)));
  }
  return stays;
}

function begun(from: Told): StayFacts {
  return { from, to: null, unfinished: false };
}

/** A clock that stepped back makes no stay of less than nothing. */
function notBefore(first: Told, then: Told): Told {
  return { ...then, at: Math.max(first.at, then.at) };
}

function leaves(record: LedgerRecord, { ended }: Standing): boolean {
  if (record.kind === 'handed-back') return true;
  if (record.kind !== 'clocked-out' && record.kind !== 'time-given') return false;
  return record.closes && ended.get(record.id)?.outcome === 'done';
}

function comesBack({ kind }: LedgerRecord): boolean {
  return kind === 'clocked-in' || kind === 'sent-back';
}

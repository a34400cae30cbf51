/** When a pair was in the works, told by its records in their order. */
import type { LedgerRecord } from '../record/kinds.ts';
import type { StayFacts, Told } from './facts.ts';
import { happenedAt, type Standing } from './standing.ts';

/** None where nothing stands. A pair that is worked or sent back after it had left is here again from then. */
export function staysOf(standing: Standing): readonly StayFacts[] {
  const stays: StayFacts[] = [];
  const cameBack: Told[] = [];
  for (const record of standing.records) {
    const told = { at: happenedAt(record, standing), record: record.id };
    const last = stays.at(-1) ?? begun(told);
    if (stays.length === 0) stays.push(last);
    if (comesBack(record)) cameBack.push(told);
    if (leaves(record, standing, cameBack))
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

/** Given the end of its last stage later, a pair that had come back by then has not left by it, as in the fold. */
function leaves(record: LedgerRecord, { ended }: Standing, cameBack: readonly Told[]): boolean {
  if (record.kind === 'handed-back') return true;
  if (record.kind !== 'clocked-out' && record.kind !== 'time-given') return false;
  const spell = ended.get(record.id);
  if (!record.closes || spell?.outcome !== 'done') return false;
  const { id, to } = spell;
  const since = cameBack.some((told) => told.record !== id && to !== null && told.at >= to);
  return record.kind === 'clocked-out' || !since;
}

function comesBack({ kind }: LedgerRecord): boolean {
  return kind === 'clocked-in' || kind === 'sent-back';
}

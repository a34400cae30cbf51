/** Which open pairs can be worked next at a bench, as a newcomer with a ticket and a tablet would find them. */

import type { Placed } from '../src/domain/fold/order.ts';
import { foldPair, isDone, notesFor, openSpells, type PairState } from '../src/domain/fold/pair.ts';
import type { PairId, StageCode } from '../src/domain/ids.ts';
import { type LedgerRecord, pairOf, type RecordOf } from '../src/domain/record/kinds.ts';
import type { Workshop } from './records.ts';
import type { DemoBench } from './staff.ts';

export interface DuePair {
  readonly pair: PairId;
  readonly stage: StageCode;
  readonly logged: RecordOf<'pair-logged'>;
}

/** The state of every pair, from the records as the server would hold them. */
export function pairStates({ records, epoch }: Workshop): ReadonlyMap<PairId, PairState> {
  const byPair = new Map<PairId, Placed[]>();
  for (const [index, record] of records.entries()) {
    const pair = pairOf(record);
    if (pair === null) continue;
    const placed = { record, pos: index + 1, epoch } satisfies {
      record: LedgerRecord;
      pos: number;
      epoch: string;
    };
    const own = byPair.get(pair);
    if (own === undefined) byPair.set(pair, [placed]);
    else own.push(placed);
  }
  return new Map([...byPair].map(([pair, own]) => [pair, foldPair(pair, own)]));
}

/**
 * The pairs due at a bench, those promised first leading: their next stage there is not done, what must come
 * before is, and nothing halts them. Pairs with a flag are left out, since they would ask a question first.
 */
export function dueAt(
  { routes }: Workshop,
  states: ReadonlyMap<PairId, PairState>,
  { stages }: DemoBench,
): readonly DuePair[] {
  return [...states.values()]
    .flatMap((state) => {
      const { pair, logged, closedAt, setAside, flags } = state;
      if (logged === null || closedAt !== null || setAside !== null || flags.length > 0) return [];
      if (openSpells(state).length > 0) return [];
      // A tablet takes the first stage of its bench that is not done.
      const stage = stages.find((candidate) => !isDone(state, candidate));
      const needs = stage === undefined ? undefined : routes.get(pair)?.get(stage);
      if (stage === undefined || needs === undefined || !needs.every((need) => isDone(state, need)))
        return [];
      if (notesFor(state, stage).some(({ note }) => note.weight === 'stop')) return [];
      return [{ pair, stage, logged }];
    })
    .sort((a, b) =>
      a.logged.promised < b.logged.promised ? -1 : a.logged.promised > b.logged.promised ? 1 : 0,
    );
}

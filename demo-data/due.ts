/** Which open pairs can be worked next at a bench, as a newcomer with a ticket and a tablet would find them. */
import { beginIntent, type Place } from '../src/domain/begin.ts';
import type { Placed } from '../src/domain/fold/order.ts';
import { foldPair } from '../src/domain/fold/pair.ts';
import type { PairState } from '../src/domain/fold/pair-state.ts';
import { openSpells } from '../src/domain/fold/spells.ts';
import type { PairId, StageCode } from '../src/domain/ids.ts';
import { stageHere } from '../src/domain/intent.ts';
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

/** Machines that nobody may run, each as bench and stage, with the reason. */
export function machinesOutOfUse({ records }: Workshop): ReadonlyMap<string, string> {
  const out = new Map<string, string>();
  for (const record of [...records].sort((a, b) => a.at - b.at)) {
    if (record.kind === 'machine-stopped') out.set(`${record.where} ${record.stage}`, record.why);
    if (record.kind === 'machine-back') out.delete(`${record.where} ${record.stage}`);
  }
  return out;
}

/** What a tablet at this bench knows besides the pair's own records; its reminders have been shown. */
export function placeAt(
  workshop: Workshop,
  states: ReadonlyMap<PairId, PairState>,
  { bench }: DemoBench,
): Place {
  const out = machinesOutOfUse(workshop);
  const holders = new Map<string, PairId>();
  for (const { pair, last, closedAt } of states.values())
    if (last !== null && closedAt === null) holders.set(last, pair);
  return {
    bench,
    book: workshop.book,
    outOfUse: (stage) => out.get(`${bench} ${stage}`) ?? null,
    lastHeldBy: (last) => holders.get(last) ?? null,
    remindersDue: () => false,
  };
}

/**
 * The pairs due at a bench, those promised first leading: a scan there begins work, or shows the notes that must be
 * seen before it. Pairs with a flag are left out: they are for the office.
 */
export function dueAt(
  workshop: Workshop,
  states: ReadonlyMap<PairId, PairState>,
  bench: DemoBench,
): readonly DuePair[] {
  const place = placeAt(workshop, states, bench);
  const on = workshop.badges.find(({ role, released }) => role === 'hand' && released === null)?.operative;
  if (on === undefined) return [];
  return [...states.values()]
    .flatMap((state) => {
      const { pair, logged, flags } = state;
      if (logged === null || flags.length > 0 || openSpells(state).length > 0) return [];
      const stage = stageHere(state, 'both', { stages: bench.stages, book: workshop.book });
      if (stage === undefined) return [];
      const begin = { id: pair, pair: state, stage, shoe: 'both' as const, on, settled: new Set<never>() };
      const intent = beginIntent(begin, place);
      return intent.do === 'clock-in' || intent.do === 'see-notes' ? [{ pair, stage, logged }] : [];
    })
    .sort((a, b) =>
      a.logged.promised < b.logged.promised ? -1 : a.logged.promised > b.logged.promised ? 1 : 0,
    );
}

/** What this bench knows besides the pair's own records: machines out of use, who has the lasts, what was shown. */
import type { Place } from '../../domain/begin.ts';
import type { Reminded } from '../../domain/fold/bench.ts';
import { inOrder } from '../../domain/fold/order.ts';
import { foldPair } from '../../domain/fold/pair.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { BenchId, OperativeId, PairId, StageCode } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { pairOf, thing } from '../../domain/record/kinds.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { lastOf } from '../../domain/way.ts';
import { dayOf } from '../../words/format.ts';
import type { TabletLedger } from '../ledger/ledger.ts';

export interface PlaceNow {
  readonly bench: BenchId;
  readonly book: SiteBook | null;
  readonly on: OperativeId | null;
  readonly reminded: readonly Reminded[];
  readonly outOfUse: ReadonlyMap<StageCode, string>;
  /** The pair that has this pair's lasts in it. */
  readonly lastHolder: PairId | null;
  readonly now: Instant;
}

export function placeOf({ bench, book, on, reminded, outOfUse, lastHolder, now }: PlaceNow): Place {
  const zone = book?.timeZone ?? 'UTC';
  const today = dayOf(now, zone);
  return {
    bench,
    book,
    outOfUse: (stage) => outOfUse.get(stage) ?? null,
    lastHeldBy: () => lastHolder,
    remindersDue: (stage) =>
      book?.stages.find(({ code }) => code === stage)?.reminds === true &&
      !reminded.some(
        (shown) =>
          shown.by === on &&
          shown.stage === stage &&
          shown.wording >= book.reminders.version &&
          dayOf(shown.at, zone) === today,
      ),
  };
}

/** The machines of these stages that may not be run at this bench, with the reason. */
export async function machinesOutOfUse(
  ledger: TabletLedger,
  bench: BenchId,
  stages: readonly StageCode[],
): Promise<ReadonlyMap<StageCode, string>> {
  const out = new Map<StageCode, string>();
  for (const stage of stages) {
    const latest = inOrder(await ledger.recordsOfThing(thing.machine(bench, stage))).at(-1)?.record;
    if (latest?.kind === 'machine-stopped') out.set(stage, latest.why);
  }
  return out;
}

/** Which other pair has this pair's lasts in it, by the records of that pair. */
export async function holderOfLast(ledger: TabletLedger, pair: PairState): Promise<PairId | null> {
  if (pair.details === null) return null;
  const last = lastOf(pair.details);
  const placed = await ledger.recordsOfThing(thing.last(last));
  const others = new Set(placed.map(({ record }) => pairOf(record)));
  for (const other of others) {
    if (other === null || other === pair.pair) continue;
    if (foldPair(other, await ledger.recordsOfPair(other)).last === last) return other;
  }
  return null;
}

/** The pairs that stand on a rack, by their own records. */
export async function pairsOnRack(ledger: TabletLedger, rack: string): Promise<readonly PairState[]> {
  const placed = await ledger.recordsOfThing(thing.rack(rack));
  const ids = new Set(placed.map(({ record }) => pairOf(record)));
  const states: PairState[] = [];
  for (const id of ids) {
    if (id === null) continue;
    const state = foldPair(id, await ledger.recordsOfPair(id));
    if (state.rack === rack && state.closedAt === null) states.push(state);
  }
  return states;
}

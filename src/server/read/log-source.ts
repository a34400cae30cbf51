/** What exports are made of, read from the ledger as it stood at one position, some pairs at a time. */
import { setImmediate as breathe } from 'node:timers/promises';
import type { PairLog } from '../../domain/export/happenings.ts';
import type { LogSource } from '../../domain/export/ocel.ts';
import type { PairId, RecordId, SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import { pairOf } from '../../domain/record/kinds.ts';
import { allPlaced, placedOf } from '../ledger/held.ts';
import type { ServerLedger, Standing } from '../ledger/ledger.ts';
import type { DayRange } from './days.ts';

/** So many pairs are held at once, some 125 records each; then other requests get their turn. */
const PAIRS_AT_ONCE = 20;

const AFTER_ALL: Instant = 2 ** 48;

export interface Reading {
  readonly ledger: ServerLedger;
  readonly site: SiteId;
  readonly standing: Pick<Standing, 'epoch' | 'head'>;
  readonly range: DayRange;
}

/** The pairs that anything was recorded of in these days, each with its whole way. */
export function logSource(reading: Reading): LogSource {
  // Their tickets alone are kept: a few dozen bytes a pair.
  let pairs: Promise<readonly PairId[]> | null = null;
  const { ledger, site, range } = reading;
  return {
    pairs: async function* () {
      pairs ??= ledger.pairsBetween(site, range.from, range.to);
      yield* logsOf(reading, await pairs);
    },
    benchRecords: () => benchRecords(reading),
  };
}

async function* logsOf(
  { ledger, site, standing: { epoch, head } }: Reading,
  pairs: readonly PairId[],
): AsyncIterable<PairLog> {
  for (let from = 0; from < pairs.length; from += PAIRS_AT_ONCE) {
    const some = pairs.slice(from, from + PAIRS_AT_ONCE);
    const held = await ledger.recordsOfPairs(site, some, head);
    for (const pair of some) {
      const placed = allPlaced(held.get(pair) ?? [], epoch);
      if (placed.length > 0) yield { pair, placed };
    }
    await breathe();
  }
}

/** What happened at benches in these days and is about no pair: badges, machines, reminders. */
async function* benchRecords({
  ledger,
  site,
  standing: { epoch, head },
  range,
}: Reading): AsyncIterable<LedgerRecord> {
  const takenBack = new Set<RecordId>();
  // What takes a record back comes after it.
  for (const held of await ledger.recordsOfKindsBetween(site, ['voided'], range.from, AFTER_ALL)) {
    const record = placedOf(held, epoch)?.record;
    if (record?.kind === 'voided' && record.pair === null) takenBack.add(record.of);
  }
  for await (const held of ledger.recordsBetween(site, range.from, range.to)) {
    const record = held.pos > head ? undefined : placedOf(held, epoch)?.record;
    if (record === undefined || pairOf(record) !== null || CORRECTIONS.has(record.kind)) continue;
    if (!takenBack.has(record.id)) yield record;
  }
}

/** They show in what they put right. */
const CORRECTIONS: ReadonlySet<LedgerRecord['kind']> = new Set(['voided', 'looked-into']);

/** Forgetting pairs that have long left the works. */
import { asBenchId, type PairId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { nextSeq, usedKey } from './making.ts';
import { ownBench } from './own-bench.ts';
import { packs } from './packing-store.ts';
import type { PackRow } from './packs.ts';
import type { RecordRow } from './record-row.ts';
import type { SharedStore } from './shared-store.ts';
import { EVERYTHING, type Writing } from './whole-store.ts';

/** As `TabletLedger.forget`: looked at and taken out in one transaction, so that nothing comes in between. */
export async function forget(
  { connection, changed }: SharedStore,
  pairs: readonly PairId[],
  epoch: string,
  before: Instant,
): Promise<readonly PairId[]> {
  if (pairs.length === 0) return [];
  const forgotten = await connection.write(EVERYTHING, async (writing) => {
    const records = writing.objectStore('records');
    const packed = await packs(writing);
    const gone: PairId[] = [];
    for (const pair of new Set(pairs)) {
      const rows = await records.index('pair').getAll(pair);
      const pack = packed ? await writing.objectStore('packs').get(pair) : undefined;
      if (rows.length === 0 && pack === undefined) continue;
      const old = rows.every((row) => row.epoch === epoch && row.at !== null && row.at < before);
      if (!old || !isOld(pack, epoch, before) || (await anyInOutbox(writing, rows))) continue;
      await keepNumbers(writing, rows);
      await Promise.all(rows.map(({ id }) => records.delete(id)));
      if (pack !== undefined) await writing.objectStore('packs').delete(pair);
      gone.push(pair);
    }
    return gone;
  });
  if (forgotten.length > 0) changed(forgotten);
  return forgotten;
}

function isOld(pack: PackRow | undefined, epoch: string, before: Instant): boolean {
  if (pack === undefined) return true;
  const { parts, newest } = pack;
  return parts.every((part) => part.epoch === epoch) && newest !== null && newest < before;
}

async function anyInOutbox(writing: Writing, rows: readonly RecordRow[]): Promise<boolean> {
  const outbox = writing.objectStore('outbox');
  const keys = await Promise.all(
    rows.map(({ bench, seq }) => (bench === null || seq === null ? undefined : outbox.getKey([bench, seq]))),
  );
  return keys.some((key) => key !== undefined);
}

/** The next number of a bench is told by its records: where they go, it is written down first. */
async function keepNumbers(writing: Writing, rows: readonly RecordRow[]): Promise<void> {
  const own = await ownBench(writing);
  if (own === null || !rows.some(({ bench }) => bench === own)) return;
  const bench = asBenchId(own);
  await writing.objectStore('settings').put((await nextSeq(writing, bench)) - 1, usedKey(bench));
}

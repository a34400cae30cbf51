/** Forgetting pairs that have long left the works. */
import { asBenchId, type PairId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { EVERYTHING, nextSeq, usedKey, type Writing } from './making.ts';
import type { RecordRow } from './record-row.ts';
import type { SharedStore } from './shared-store.ts';

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
    const gone: PairId[] = [];
    for (const pair of new Set(pairs)) {
      const rows = await records.index('pair').getAll(pair);
      const old = rows.every((row) => row.epoch === epoch && row.at !== null && row.at < before);
      if (rows.length === 0 || !old || (await anyInOutbox(writing, rows))) continue;
      await keepNumbers(writing, rows);
      await Promise.all(rows.map(({ id }) => records.delete(id)));
      gone.push(pair);
    }
    return gone;
  });
  if (forgotten.length > 0) changed(forgotten);
  return forgotten;
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
  const enrolment: unknown = await writing.objectStore('settings').get('enrolment');
  const own = benchIn(enrolment);
  if (own === null || !rows.some(({ bench }) => bench === own)) return;
  const bench = asBenchId(own);
  await writing.objectStore('settings').put((await nextSeq(writing, bench)) - 1, usedKey(bench));
}

function benchIn(enrolment: unknown): string | null {
  if (typeof enrolment !== 'object' || enrolment === null || !('bench' in enrolment)) return null;
  return typeof enrolment.bench === 'string' ? enrolment.bench : null;
}

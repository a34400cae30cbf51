/** Reading the whole outbox, a slice at a time: after weeks with no network it is long. */
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import type { Connection } from './connection.ts';
import type { Unsent } from './ledger.ts';

const ROWS_AT_ONCE = 500;

/** As `TabletLedger.inOutbox`. */
export async function* unsentIn(
  connection: Connection,
  rowsAtOnce = ROWS_AT_ONCE,
): AsyncGenerator<readonly Unsent[]> {
  let after: readonly [string, number] | null = null;
  for (;;) {
    const range: IDBKeyRange | null = after === null ? null : IDBKeyRange.lowerBound([...after], true);
    const { entries, rows } = await connection.read(['records', 'outbox'], async (reading) => {
      const entries = await reading.objectStore('outbox').getAll(range, rowsAtOnce);
      const rows = await Promise.all(entries.map(({ id }) => reading.objectStore('records').get(id)));
      return { entries, rows };
    });
    const last = entries.at(-1);
    if (last === undefined) return;
    after = [last.bench, last.seq];
    yield entries.flatMap(({ state, reasons }, index) => {
      const row = rows[index];
      return row === undefined ? [] : [{ record: row.raw as LedgerRecord, state, reasons }];
    });
  }
}

/** Reads the server's ledger with SQLite's own command line program: what it finds is in the file, whatever we say. */
import { execFile } from 'node:child_process';
import { promisify } from 'node:util';
import type { LedgerRecord, RecordKind, RecordOf } from '../../src/domain/record/kinds.ts';

const run = promisify(execFile);

export interface StoredRecord {
  readonly pos: number;
  readonly seq: number;
  readonly kind: RecordKind;
  readonly by: string | null;
  readonly at: number;
  readonly record: LedgerRecord;
}

/** Rows of a query, by the names of their columns. */
export async function query(file: string, sql: string): Promise<readonly Record<string, unknown>[]> {
  const { stdout } = await run('sqlite3', ['-readonly', '-json', file, sql]);
  return stdout.trim() === '' ? [] : JSON.parse(stdout);
}

/** The records of the bench with this name, in the order of their sequence. */
export async function recordsOfBench(file: string, name: string): Promise<readonly StoredRecord[]> {
  const rows = await query(
    file,
    `select pos, seq, kind, "by", at, json from records join benches using (site, bench)
     where benches.name = '${name.replaceAll("'", "''")}' order by seq, pos`,
  );
  return rows.map(
    ({ json, ...columns }) => ({ ...columns, record: JSON.parse(String(json)) }) as StoredRecord,
  );
}

/** The one stored record of a kind; fails the test where there is none, or more than one. */
export function onlyOne<Kind extends RecordKind>(
  stored: readonly StoredRecord[],
  kind: Kind,
): RecordOf<Kind> {
  const found = stored.filter((one) => one.kind === kind);
  const [one] = found;
  if (one === undefined || found.length > 1) throw new Error(`${found.length} records ${kind}, not one`);
  return one.record as RecordOf<Kind>;
}

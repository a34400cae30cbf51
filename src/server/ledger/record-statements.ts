/**
 * The two statements that every push repeats. For kysely, to put such a query together takes longer than for the
 * database to run it; so each is put together once for each length, and run with other values.
 *
 * A database in this very process keeps its statements prepared: it gets a few lengths only, and rows one by one. For
 * one at the end of a wire each statement is a journey there and back: it gets a push in one.
 */
import type { CompiledQuery, Transaction } from 'kysely';
import type { RecordId, SiteId } from '../../domain/ids.ts';
import { PUSH_RECORDS_MAX } from '../../wire/push.ts';
import type { RecordRow, Tables } from './tables.ts';

type Within = Transaction<Tables>;

/** Longest first; the last one is 1, so that every list can be cut into them. */
const PREPARED_LENGTHS = [50, 10, 1] as const;
/** Two hundred rows are 2,800 values; PostgreSQL takes 65,535. */
const WIRE_LENGTH_MAX = PUSH_RECORDS_MAX;

const COLUMNS = [
  'site',
  'pos',
  'id',
  'bench',
  'seq',
  'at',
  'kind',
  'v',
  'pair',
  'stage',
  'by',
  'received_at',
  'hash',
  'json',
] as const satisfies readonly (keyof RecordRow)[];

/** Runs one statement for each list of its values, on the connection that the transaction is on. */
export type RunEach = (text: string, values: readonly (readonly unknown[])[]) => void;

export class RecordStatements {
  readonly #runEach: RunEach | null;
  readonly #inserts = new Map<number, CompiledQuery>();
  readonly #selects = new Map<number, CompiledQuery>();

  constructor(runEach: RunEach | null = null) {
    this.#runEach = runEach;
  }

  async insert(within: Within, rows: readonly RecordRow[]): Promise<void> {
    const [first] = rows;
    if (this.#runEach !== null && first !== undefined) {
      const statement = this.#inserts.get(1) ?? insertOf(within, [first]);
      this.#inserts.set(1, statement);
      this.#runEach(statement.sql, rows.map(valuesOf));
      return;
    }
    for (const some of cut(rows, onTheWire)) {
      const statement = this.#inserts.get(some.length) ?? insertOf(within, some);
      this.#inserts.set(some.length, statement);
      const parameters = some.flatMap(valuesOf);
      await within.executeQuery({ ...statement, parameters });
    }
  }

  /** Hashes of those of the records that are held, by id. */
  async hashes(within: Within, site: SiteId, ids: readonly RecordId[]): Promise<Map<string, string>> {
    const held = new Map<string, string>();
    for (const some of cut(ids, this.#runEach === null ? onTheWire : prepared)) {
      const statement = this.#selects.get(some.length) ?? selectOf(within, site, some);
      this.#selects.set(some.length, statement);
      const { rows } = await within.executeQuery<Pick<RecordRow, 'id' | 'hash'>>({
        ...statement,
        parameters: [site, ...some],
      });
      for (const { id, hash } of rows) held.set(id, hash);
    }
    return held;
  }
}

function valuesOf(row: RecordRow): readonly unknown[] {
  return COLUMNS.map((column) => row[column]);
}

/** Columns in the order of `COLUMNS`, since kysely takes their order from the first row's fields. */
function insertOf(within: Within, rows: readonly RecordRow[]): CompiledQuery {
  const inOrder = rows.map(
    (row) => Object.fromEntries(COLUMNS.map((column) => [column, row[column]])) as unknown as RecordRow,
  );
  return within.insertInto('records').values(inOrder).compile();
}

function selectOf(within: Within, site: SiteId, ids: readonly RecordId[]) {
  return within
    .selectFrom('records')
    .select(['id', 'hash'])
    .where('site', '=', site)
    .where('id', 'in', ids)
    .compile();
}

/** How long the next piece is, of so many that are left. */
type Cutting = (left: number) => number;
const onTheWire: Cutting = (left) => Math.min(left, WIRE_LENGTH_MAX);
const prepared: Cutting = (left) => PREPARED_LENGTHS.find((length) => length <= left) ?? 1;

function* cut<Item>(items: readonly Item[], lengthOf: Cutting): Iterable<readonly Item[]> {
  for (let from = 0; from < items.length; ) {
    const length = lengthOf(items.length - from);
    yield items.slice(from, from + length);
    from += length;
  }
}

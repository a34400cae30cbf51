/**
 * The two statements that every push repeats. For kysely, to put such a query together takes longer than for the
 * database to run it; so each is put together once for each of a few lengths, and run with other values.
 */
import type { CompiledQuery, Transaction } from 'kysely';
import type { RecordId, SiteId } from '../../domain/ids.ts';
import type { RecordRow, Tables } from './tables.ts';

type Within = Transaction<Tables>;

/** Longest first; the last one is 1, so that every list can be cut into them. */
const LENGTHS = [50, 10, 1] as const;

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

export class RecordStatements {
  readonly #inserts = new Map<number, CompiledQuery>();
  readonly #selects = new Map<number, CompiledQuery>();

  async insert(within: Within, rows: readonly RecordRow[]): Promise<void> {
    for (const some of inLengths(rows)) {
      const statement = this.#inserts.get(some.length) ?? insertOf(within, some);
      this.#inserts.set(some.length, statement);
      const parameters = some.flatMap((row) => COLUMNS.map((column) => row[column]));
      await within.executeQuery({ ...statement, parameters });
    }
  }

  /** Hashes of those of the records that are held, by id. */
  async hashes(within: Within, site: SiteId, ids: readonly RecordId[]): Promise<Map<string, string>> {
    const held = new Map<string, string>();
    for (const some of inLengths(ids)) {
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

function* inLengths<Item>(items: readonly Item[]): Iterable<readonly Item[]> {
  for (let from = 0; from < items.length; ) {
    const length = LENGTHS.find((candidate) => candidate <= items.length - from) ?? 1;
    yield items.slice(from, from + length);
    from += length;
  }
}

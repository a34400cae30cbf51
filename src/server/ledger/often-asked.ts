/**
 * What every request asks of the ledger. For kysely, to put such a query together takes longer than for the database to
 * answer it, and two hundred tablets ask at once when there is news; so each is put together once and asked with other values.
 */
import type { CompiledQuery, Kysely } from 'kysely';
import { asBenchId, asSiteId, type BenchId, type SiteId } from '../../domain/ids.ts';
import { entryOf } from './enrolment.ts';
import type { BenchEntry, Held, Standing } from './ledger.ts';
import type { Tables } from './tables.ts';

export class OftenAsked {
  readonly #db: Kysely<Tables>;
  readonly #standing: ReturnType<typeof standingQuery>;
  readonly #read: ReturnType<typeof readQuery>;
  readonly #benchOfKey: ReturnType<typeof benchOfKeyQuery>;

  constructor(db: Kysely<Tables>) {
    this.#db = db;
    this.#standing = standingQuery(db);
    this.#read = readQuery(db);
    this.#benchOfKey = benchOfKeyQuery(db);
  }

  /** As `ServerLedger.standing`. */
  async standing(site: SiteId, bench: BenchId): Promise<Standing | null> {
    const [row] = await this.#ask(this.#standing, [site, bench, site]);
    if (row === undefined) return null;
    const { dataset, epoch, head, version, held } = row;
    return { dataset, epoch, head: Number(head), book: Number(version), heldSeq: Number(held ?? 0) };
  }

  /** As `ServerLedger.read`. */
  async read(site: SiteId, after: number, limit: number): Promise<readonly Held[]> {
    const rows = await this.#ask(this.#read, [site, after, limit]);
    return rows.map(({ pos, json }) => ({ pos: Number(pos), json }));
  }

  /** As `ServerLedger.benchOfKey`. */
  async benchOfKey(keyHash: string): Promise<BenchEntry | null> {
    const [row] = await this.#ask(this.#benchOfKey, [keyHash]);
    return row === undefined ? null : entryOf(row);
  }

  async #ask<Row>(query: CompiledQuery<Row>, parameters: readonly unknown[]): Promise<readonly Row[]> {
    return (await this.#db.executeQuery<Row>({ ...query, parameters })).rows;
  }
}

// The values below only stand where others will: they are in the order in which they are asked for above.
const SITE = asSiteId('');
const BENCH = asBenchId('');

function standingQuery(db: Kysely<Tables>) {
  return db
    .selectFrom('sites')
    .innerJoin('site_head', 'site_head.site', 'sites.site')
    .innerJoin('site_books', 'site_books.site', 'sites.site')
    .select(['dataset', 'epoch', 'head', 'version'])
    .select((eb) =>
      eb
        .selectFrom('records')
        .where('records.site', '=', SITE)
        .where('records.bench', '=', BENCH)
        .select(({ fn }) => fn.max('seq').as('seq'))
        .as('held'),
    )
    .where('sites.site', '=', SITE)
    .compile();
}

function readQuery(db: Kysely<Tables>) {
  return db
    .selectFrom('records')
    .select(['pos', 'json'])
    .where('site', '=', SITE)
    .where('pos', '>', 0)
    .orderBy('pos')
    .limit(1)
    .compile();
}

function benchOfKeyQuery(db: Kysely<Tables>) {
  return db.selectFrom('benches').selectAll().where('key_hash', '=', '').compile();
}

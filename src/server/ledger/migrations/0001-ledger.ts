/** The first tables. Types are the ones that SQLite and PostgreSQL share: bigint is a 64-bit whole number in both. */
import type { Kysely } from 'kysely';

export async function up(db: Kysely<unknown>): Promise<void> {
  const { schema } = db;
  await schema
    .createTable('sites')
    .addColumn('site', 'text', (column) => column.primaryKey())
    .addColumn('dataset', 'text', (column) => column.notNull())
    .addColumn('epoch', 'text', (column) => column.notNull())
    .addColumn('next_lane', 'bigint', (column) => column.notNull())
    .execute();
  await schema
    .createTable('site_head')
    .addColumn('site', 'text', (column) => column.primaryKey().references('sites.site'))
    .addColumn('head', 'bigint', (column) => column.notNull())
    .execute();
  await schema
    .createTable('site_books')
    .addColumn('site', 'text', (column) => column.primaryKey().references('sites.site'))
    // Before the long texts: reading the version alone then touches no overflow page.
    .addColumn('version', 'bigint', (column) => column.notNull())
    .addColumn('book', 'text', (column) => column.notNull())
    .addColumn('shift_rules', 'text', (column) => column.notNull())
    .execute();
  await schema
    .createTable('records')
    .addColumn('site', 'text', (column) => column.notNull().references('sites.site'))
    .addColumn('pos', 'bigint', (column) => column.notNull())
    .addColumn('id', 'text', (column) => column.notNull())
    .addColumn('bench', 'text', (column) => column.notNull())
    .addColumn('seq', 'bigint', (column) => column.notNull())
    .addColumn('at', 'bigint', (column) => column.notNull())
    .addColumn('kind', 'text', (column) => column.notNull())
    .addColumn('v', 'integer', (column) => column.notNull())
    .addColumn('pair', 'text')
    .addColumn('stage', 'text')
    .addColumn('by', 'text')
    .addColumn('received_at', 'bigint', (column) => column.notNull())
    .addColumn('hash', 'text', (column) => column.notNull())
    .addColumn('json', 'text', (column) => column.notNull())
    .addPrimaryKeyConstraint('records_pos', ['site', 'pos'])
    .addUniqueConstraint('records_id', ['site', 'id'])
    .execute();
  // Not unique: a tablet restored from a copy uses its numbers again, and both records are facts.
  await index(db, 'records_seq', 'records', ['site', 'bench', 'seq']);
  await index(db, 'records_pair', 'records', ['site', 'pair', 'pos']);
  await index(db, 'records_at', 'records', ['site', 'at', 'pos']);
  await index(db, 'records_kind', 'records', ['site', 'kind', 'at']);
  await schema
    .createTable('benches')
    .addColumn('site', 'text', (column) => column.notNull().references('sites.site'))
    .addColumn('bench', 'text', (column) => column.notNull())
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('name', 'text', (column) => column.notNull())
    .addColumn('stages', 'text', (column) => column.notNull())
    .addColumn('lane', 'bigint', (column) => column.notNull())
    .addColumn('persisted', 'integer')
    .addColumn('key_hash', 'text', (column) => column.notNull().unique())
    .addColumn('enrolled_at', 'bigint', (column) => column.notNull())
    .addColumn('revoked_at', 'bigint')
    .addPrimaryKeyConstraint('benches_bench', ['site', 'bench'])
    .addUniqueConstraint('benches_lane', ['site', 'lane'])
    .execute();
  await schema
    .createTable('set_up_codes')
    .addColumn('site', 'text', (column) => column.notNull().references('sites.site'))
    .addColumn('hash', 'text', (column) => column.notNull().unique())
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('name', 'text', (column) => column.notNull())
    .addColumn('stages', 'text', (column) => column.notNull())
    .addColumn('until', 'bigint', (column) => column.notNull())
    .addColumn('uses_left', 'integer', (column) => column.notNull())
    .addPrimaryKeyConstraint('set_up_codes_hash', ['site', 'hash'])
    .execute();
}

async function index(db: Kysely<unknown>, name: string, table: string, columns: string[]): Promise<void> {
  await db.schema.createIndex(name).on(table).columns(columns).execute();
}

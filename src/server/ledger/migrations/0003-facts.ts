/**
 * What the figures need of each pair, computed from its records. A cache: thrown away whole, it is computed again. `last_at`
 * is `STILL_HERE` for a pair that is in the works, so that one comparison finds who was here at a time.
 */
import type { Kysely } from 'kysely';

export async function up(db: Kysely<unknown>): Promise<void> {
  const { schema } = db;
  await schema
    .createTable('facts_head')
    .addColumn('site', 'text', (column) => column.primaryKey().references('sites.site'))
    .addColumn('epoch', 'text', (column) => column.notNull())
    .addColumn('pos', 'bigint', (column) => column.notNull())
    .addColumn('stamp', 'text', (column) => column.notNull())
    .execute();
  await schema
    .createTable('pair_facts')
    .addColumn('site', 'text', (column) => column.notNull().references('sites.site'))
    .addColumn('pair', 'text', (column) => column.notNull())
    .addColumn('first_at', 'bigint', (column) => column.notNull())
    .addColumn('last_at', 'bigint', (column) => column.notNull())
    // Last: the rest of a row is then read without its overflow pages.
    .addColumn('facts', 'text', (column) => column.notNull())
    .addPrimaryKeyConstraint('pair_facts_pair', ['site', 'pair'])
    .execute();
  await schema
    .createIndex('pair_facts_here')
    .on('pair_facts')
    .columns(['site', 'last_at', 'first_at'])
    .execute();
}

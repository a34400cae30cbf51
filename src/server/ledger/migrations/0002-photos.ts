/** Photographs, whole rows under the SHA-256 of their bytes. `bytea` is PostgreSQL's; SQLite keeps any bytes under it. */
import type { Kysely } from 'kysely';

export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('photos')
    .addColumn('site', 'text', (column) => column.notNull().references('sites.site'))
    .addColumn('photo', 'text', (column) => column.notNull())
    .addColumn('type', 'text', (column) => column.notNull())
    .addColumn('bytes', 'integer', (column) => column.notNull())
    .addColumn('bench', 'text', (column) => column.notNull())
    .addColumn('received_at', 'bigint', (column) => column.notNull())
    // Last: to read the rest of a row then touches none of its overflow pages.
    .addColumn('body', 'bytea', (column) => column.notNull())
    .addPrimaryKeyConstraint('photos_photo', ['site', 'photo'])
    .execute();
}

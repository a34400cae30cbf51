/** The key by which a site's hands get their pseudonyms in what is read from outside; null until it is first wanted. */
import type { Kysely } from 'kysely';

export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('sites').addColumn('pseudonym_key', 'text').execute();
}

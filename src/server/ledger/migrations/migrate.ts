/** Brings a database to the tables of this version. A step that was released is never changed again. */
import { type Kysely, Migrator } from 'kysely';
import * as ledger from './0001-ledger.ts';
import * as photos from './0002-photos.ts';
import * as facts from './0003-facts.ts';
import * as pseudonyms from './0004-pseudonyms.ts';

const STEPS = {
  '0001-ledger': ledger,
  '0002-photos': photos,
  '0003-facts': facts,
  '0004-pseudonyms': pseudonyms,
};

/** @throws Error when a step fails, or when a newer version of the server has been here */
export async function migrateToLatest<Tables>(db: Kysely<Tables>): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => STEPS } });
  const { error } = await migrator.migrateToLatest();
  if (error !== undefined) {
    throw new Error('the tables of the ledger could not be brought up to date', { cause: error });
  }
}

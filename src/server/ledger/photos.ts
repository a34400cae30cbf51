/** Photographs among the ledger's tables. Their bytes are checked before they come here: see `routes/photo.ts`. */
import type { Kysely } from 'kysely';
import type { SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { photoTypeSchema } from '../../wire/photo.ts';
import type { HeldPhoto, NewPhoto, Writer } from './ledger.ts';
import type { Tables } from './tables.ts';

export async function keepPhotoIn(
  db: Kysely<Tables>,
  { site, bench }: Writer,
  { photo, type, body }: NewPhoto,
  receivedAt: Instant,
): Promise<'stored' | 'had'> {
  const { numInsertedOrUpdatedRows } = await db
    .insertInto('photos')
    .values({
      site,
      photo,
      type,
      bytes: body.length,
      bench,
      received_at: receivedAt,
      body: Buffer.from(body.buffer, body.byteOffset, body.byteLength),
    })
    .onConflict((conflict) => conflict.columns(['site', 'photo']).doNothing())
    .executeTakeFirstOrThrow();
  return Number(numInsertedOrUpdatedRows ?? 0) > 0 ? 'stored' : 'had';
}

export async function photoIn(db: Kysely<Tables>, site: SiteId, photo: string): Promise<HeldPhoto | null> {
  const row = await db
    .selectFrom('photos')
    .select(['type', 'body'])
    .where('site', '=', site)
    .where('photo', '=', photo)
    .executeTakeFirst();
  return row === undefined ? null : { type: photoTypeSchema.parse(row.type), body: row.body };
}

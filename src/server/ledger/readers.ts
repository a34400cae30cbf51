/** Readers: programs outside that may read and never write. And what is read by them alone. */
import type { Kysely, Transaction } from 'kysely';
import { asPairId, type PairId, type SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { entryOf } from './enrolment.ts';
import type { BenchEntry, NewReader } from './ledger.ts';
import type { BenchRow, Tables } from './tables.ts';

/** Null where a reader of that name stands already. */
export async function addReaderIn(
  within: Transaction<Tables>,
  site: SiteId,
  { reader, name, keyHash, now }: NewReader,
): Promise<BenchEntry | null> {
  // The site's row is written to hold others off: without it two readers could get one number or one name.
  await within
    .updateTable('sites')
    .set((eb) => ({ next_lane: eb.ref('next_lane') }))
    .where('site', '=', site)
    .execute();
  const others = await within
    .selectFrom('benches')
    .select(['name', 'lane', 'revoked_at'])
    .where('site', '=', site)
    .where('place', '=', 'reader')
    .execute();
  if (others.some((other) => other.name === name && other.revoked_at === null)) return null;
  const row: BenchRow = {
    site,
    bench: reader,
    place: 'reader',
    name,
    stages: '[]',
    // A reader issues no tickets: it takes a number below those that tablets get.
    lane: Math.min(0, ...others.map(({ lane }) => Number(lane))) - 1,
    persisted: null,
    key_hash: keyHash,
    enrolled_at: now,
    revoked_at: null,
  };
  await within.insertInto('benches').values(row).execute();
  return entryOf(row);
}

/** The key that the site has, or `drawn` from now on where it has none. */
export async function pseudonymKeyIn(db: Kysely<Tables>, site: SiteId, drawn: string): Promise<string> {
  const { pseudonym_key: had } = await db
    .selectFrom('sites')
    .select('pseudonym_key')
    .where('site', '=', site)
    .executeTakeFirstOrThrow();
  if (had !== null) return had;
  // Two may ask for the first time at once: both get the key of whoever was first.
  const { pseudonym_key } = await db
    .updateTable('sites')
    .set(({ fn, val, ref }) => ({ pseudonym_key: fn.coalesce(ref('pseudonym_key'), val(drawn)) }))
    .where('site', '=', site)
    .returning('pseudonym_key')
    .executeTakeFirstOrThrow();
  return pseudonym_key ?? drawn;
}

export async function pairsBetweenIn(
  db: Kysely<Tables>,
  site: SiteId,
  from: Instant,
  to: Instant,
): Promise<readonly PairId[]> {
  const rows = await db
    .selectFrom('records')
    .select('pair')
    .distinct()
    .where('site', '=', site)
    .where('at', '>=', from)
    .where('at', '<', to)
    .where('pair', 'is not', null)
    .orderBy('pair')
    .execute();
  return rows.map(({ pair }) => asPairId(pair ?? ''));
}

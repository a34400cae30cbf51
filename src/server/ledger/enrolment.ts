/** The site's book and who is enrolled, within one transaction where they are written. */
import type { Kysely, Selectable, Transaction } from 'kysely';
import { LANES } from '../../domain/code.ts';
import type { SiteId, StageCode } from '../../domain/ids.ts';
import { asBenchId, asSiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { type SiteBook, siteBookSchema } from '../../domain/site-book.ts';
import type { BenchEntry, Enrolled, Enrolling, KeyPlace, Place } from './ledger.ts';
import type { BenchRow, Tables } from './tables.ts';

/** The first lane is the server's own. */
export const FIRST_BENCH_LANE = 1;

type Within = Transaction<Tables>;

export async function enrolIn(within: Within, enrolling: Enrolling): Promise<Enrolled> {
  const { codeHash, keyHash, bench, persisted, now } = enrolling;
  // Written before it is read, so that two tablets with one code come one after the other.
  const code = await within
    .updateTable('set_up_codes')
    .set((eb) => ({ uses_left: eb('uses_left', '-', 1) }))
    .where('hash', '=', codeHash)
    .where('until', '>', now)
    .where('uses_left', '>', 0)
    .returningAll()
    .executeTakeFirst();
  if (code === undefined) return whyNot(within, codeHash, now);
  const site = asSiteId(code.site);
  const { dataset, next_lane } = await within
    .updateTable('sites')
    .set((eb) => ({ next_lane: eb('next_lane', '+', 1) }))
    .where('site', '=', site)
    .returning(['dataset', 'next_lane'])
    .executeTakeFirstOrThrow();
  const lane = Number(next_lane) - 1;
  if (lane >= LANES) return { is: 'lanes-used-up' };

  const stages = JSON.parse(code.stages) as StageCode[];
  let name = code.name;
  const book = await changeBookIn(within, site, (before) => {
    name = freeName(before, code.name);
    return { ...before, benches: [...before.benches, { bench, name, stages }] };
  });
  const row: BenchRow = {
    site,
    bench,
    place: code.place,
    name,
    stages: code.stages,
    lane,
    persisted: persisted === null ? null : Number(persisted),
    key_hash: keyHash,
    enrolled_at: now,
    revoked_at: null,
  };
  await within.insertInto('benches').values(row).execute();
  return { is: 'enrolled', entry: { ...entryOf(row), place: code.place as Place }, dataset, book };
}

async function whyNot(within: Within, codeHash: string, now: Instant): Promise<Enrolled> {
  const code = await within
    .selectFrom('set_up_codes')
    .select('until')
    .where('hash', '=', codeHash)
    .executeTakeFirst();
  if (code === undefined) return { is: 'code-unknown' };
  return { is: Number(code.until) <= now ? 'code-expired' : 'code-used' };
}

/** «Welting», «Welting 2», «Welting 3» … where one code sets up several tablets. */
function freeName({ benches }: SiteBook, wished: string): string {
  const taken = new Set(benches.map(({ name }) => name));
  if (!taken.has(wished)) return wished;
  let number = 2;
  while (taken.has(`${wished} ${number}`)) number += 1;
  return `${wished} ${number}`;
}

export async function changeBookIn(
  within: Within,
  site: SiteId,
  change: (book: SiteBook) => SiteBook,
): Promise<SiteBook> {
  // The site's row is written to hold others off: without it two changes could start from one version.
  await within
    .updateTable('sites')
    .set((eb) => ({ next_lane: eb.ref('next_lane') }))
    .where('site', '=', site)
    .execute();
  const before = await bookIn(within, site);
  if (before === null) throw new Error(`there is no site ${site}`);
  const after = change(before);
  if (after === before) return before;
  const version = before.version + 1;
  const book = siteBookSchema.parse({ ...after, site, version });
  await within
    .updateTable('site_books')
    .set({ version, book: JSON.stringify(book) })
    .where('site', '=', site)
    .execute();
  return book;
}

export async function bookIn(db: Kysely<Tables>, site: SiteId): Promise<SiteBook | null> {
  const row = await db.selectFrom('site_books').select('book').where('site', '=', site).executeTakeFirst();
  return row === undefined ? null : siteBookSchema.parse(JSON.parse(row.book));
}

export function entryOf(row: Selectable<BenchRow>): BenchEntry {
  return {
    site: asSiteId(row.site),
    bench: asBenchId(row.bench),
    place: row.place as KeyPlace,
    name: row.name,
    stages: JSON.parse(row.stages) as StageCode[],
    lane: Number(row.lane),
    persisted: row.persisted === null ? null : Boolean(row.persisted),
    enrolledAt: Number(row.enrolled_at),
    revokedAt: row.revoked_at === null ? null : Number(row.revoked_at),
  };
}

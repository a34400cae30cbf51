/** Where the sequences of a site's benches do not run 1, 2, 3 … The index on (site, bench, seq) answers both. */
import { type Kysely, sql } from 'kysely';
import type { SiteId } from '../../domain/ids.ts';
import { asBenchId, asRecordId } from '../../domain/ids.ts';
import type { SequenceFault } from './ledger.ts';
import type { Tables } from './tables.ts';

/** A tablet gone wrong must not make an endless list; the first ones tell the story. */
const FAULTS_MAX = 1_000;

export async function missingIn(db: Kysely<Tables>, site: SiteId): Promise<readonly SequenceFault[]> {
  const rows = await db
    .selectFrom((from) =>
      from
        .selectFrom('records')
        .where('site', '=', site)
        .select(['bench', 'seq'])
        .select(sql<number>`coalesce(lag(seq) over (partition by bench order by seq), 0)`.as('before'))
        .as('neighbours'),
    )
    .select(['bench', 'seq', 'before'])
    .where(sql<boolean>`seq - before > 1`)
    .orderBy('bench')
    .orderBy('seq')
    .limit(FAULTS_MAX)
    .execute();
  return rows.map(({ bench, seq, before }) => ({
    bench: asBenchId(bench),
    is: 'missing',
    from: Number(before) + 1,
    to: Number(seq) - 1,
  }));
}

export async function doubledIn(db: Kysely<Tables>, site: SiteId): Promise<readonly SequenceFault[]> {
  const twice = await db
    .selectFrom('records')
    .select(['bench', 'seq'])
    .where('site', '=', site)
    .groupBy(['bench', 'seq'])
    .having((eb) => eb.fn.countAll(), '>', 1)
    .orderBy('bench')
    .orderBy('seq')
    .limit(FAULTS_MAX)
    .execute();
  return Promise.all(
    twice.map(async ({ bench, seq }): Promise<SequenceFault> => {
      const rows = await db
        .selectFrom('records')
        .select('id')
        .where('site', '=', site)
        .where('bench', '=', bench)
        .where('seq', '=', seq)
        .orderBy('pos')
        .execute();
      const records = rows.map(({ id }) => asRecordId(id));
      return { bench: asBenchId(bench), is: 'doubled', seq: Number(seq), records };
    }),
  );
}

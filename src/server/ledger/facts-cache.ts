/**
 * The cache of what the figures need of each pair. It holds nothing that the records do not: whoever finds it behind,
 * under another epoch or made by other rules computes it anew. Several processes may try at once; one of them moves it on.
 */
import type { Kysely, Transaction } from 'kysely';
import { asPairId, type PairId, type SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Tables } from './tables.ts';

/** Up to which position it is computed, under which epoch, and by which rules. */
export interface FactsHead {
  readonly epoch: string;
  readonly pos: number;
  readonly stamp: string;
}

/** One pair's facts; `json` null where nothing of it stands any more. */
export interface KeptFacts {
  readonly pair: PairId;
  readonly firstAt: Instant;
  /** When it left the works; null while it is in them. */
  readonly lastAt: Instant | null;
  readonly json: string | null;
}

/** From when to when a pair was in the works. */
export type PairHere = Omit<KeptFacts, 'json'>;

/** After every instant. */
const STILL_HERE = Number.MAX_SAFE_INTEGER;
/** Five values each; SQLite takes 32,766 of them in a statement. */
const ROWS_AT_ONCE = 200;

export async function factsHeadIn(db: Kysely<Tables>, site: SiteId): Promise<FactsHead | null> {
  const row = await db
    .selectFrom('facts_head')
    .select(['epoch', 'pos', 'stamp'])
    .where('site', '=', site)
    .executeTakeFirst();
  return row === undefined ? null : { ...row, pos: Number(row.pos) };
}

/**
 * Throws the site's facts away and begins at position 0. False where somebody else has moved the head from `before`
 * meanwhile.
 */
export async function beginFactsIn(
  within: Transaction<Tables>,
  site: SiteId,
  before: FactsHead | null,
  { epoch, stamp }: Pick<FactsHead, 'epoch' | 'stamp'>,
): Promise<boolean> {
  if (!(await moveHead(within, site, before, { epoch, stamp, pos: 0 }))) return false;
  await within.deleteFrom('pair_facts').where('site', '=', site).execute();
  return true;
}

/** Keeps some pairs' facts and moves the head from `before` to `after`, both or neither. */
export async function keepFactsIn(
  within: Transaction<Tables>,
  site: SiteId,
  before: FactsHead,
  after: FactsHead,
  kept: readonly KeptFacts[],
): Promise<boolean> {
  if (!(await moveHead(within, site, before, after))) return false;
  for (let from = 0; from < kept.length; from += ROWS_AT_ONCE) {
    const some = kept.slice(from, from + ROWS_AT_ONCE);
    const pairs = some.map(({ pair }) => pair as string);
    await within.deleteFrom('pair_facts').where('site', '=', site).where('pair', 'in', pairs).execute();
    const rows = some.flatMap(({ pair, firstAt, lastAt, json }) =>
      json === null ? [] : [{ site, pair, first_at: firstAt, last_at: lastAt ?? STILL_HERE, facts: json }],
    );
    if (rows.length > 0) await within.insertInto('pair_facts').values(rows).execute();
  }
  return true;
}

/** The facts of every pair that was in the works at some time of `from` … `to`. */
export async function factsBetweenIn(
  db: Kysely<Tables>,
  site: SiteId,
  from: Instant,
  to: Instant,
): Promise<readonly string[]> {
  const rows = await hereDuring(db, site, from, to).select('facts').execute();
  return rows.map(({ facts }) => facts);
}

/** From when to when each of those pairs was here, without the rest of its facts. */
export async function pairsHereIn(
  db: Kysely<Tables>,
  site: SiteId,
  from: Instant,
  to: Instant,
): Promise<readonly PairHere[]> {
  const rows = await hereDuring(db, site, from, to).select(['pair', 'first_at', 'last_at']).execute();
  return rows.map(({ pair, first_at, last_at }) => ({
    pair: asPairId(pair),
    firstAt: Number(first_at),
    lastAt: Number(last_at) === STILL_HERE ? null : Number(last_at),
  }));
}

/** The pairs that were in the works at some time of `from` … `to`. */
function hereDuring(db: Kysely<Tables>, site: SiteId, from: Instant, to: Instant) {
  return db
    .selectFrom('pair_facts')
    .where('site', '=', site)
    .where('last_at', '>=', from)
    .where('first_at', '<', to);
}

async function moveHead(
  within: Transaction<Tables>,
  site: SiteId,
  before: FactsHead | null,
  after: FactsHead,
): Promise<boolean> {
  if (before === null) {
    const made = await within
      .insertInto('facts_head')
      .values({ site, ...after })
      .onConflict((conflict) => conflict.column('site').doNothing())
      .executeTakeFirst();
    return Number(made.numInsertedOrUpdatedRows ?? 0) > 0;
  }
  // The row's lock makes two processes follow each other; the second finds the head moved.
  const moved = await within
    .updateTable('facts_head')
    .set({ ...after })
    .where('site', '=', site)
    .where('epoch', '=', before.epoch)
    .where('pos', '=', before.pos)
    .where('stamp', '=', before.stamp)
    .executeTakeFirst();
  return Number(moved.numUpdatedRows) > 0;
}

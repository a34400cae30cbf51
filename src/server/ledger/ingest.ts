/** Taking judged records into the ledger, within one transaction. */
import type { Transaction } from 'kysely';
import type { SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Fit } from './judge.ts';
import type { AppendAnswer } from './ledger.ts';
import type { RecordStatements } from './record-statements.ts';
import type { RecordRow, Tables } from './tables.ts';

type Within = Transaction<Tables>;

/**
 * Holds the records that are not held yet. Positions come from the site's head row, and that row is written first:
 * until this transaction ends no other can take a position of the site, so the order of the positions is the order
 * of the commits, on both databases. What is asked after it sees everything that was committed before.
 */
export async function appendFits(
  within: Within,
  statements: RecordStatements,
  site: SiteId,
  fits: readonly Fit[],
  receivedAt: Instant,
): Promise<readonly AppendAnswer['answer'][]> {
  let pos = (await moveHead(within, site, fits.length)) - fits.length;
  const ids = fits.map(({ envelope }) => envelope.id);
  const hashes = await statements.hashes(within, site, ids);
  const rows: RecordRow[] = [];
  const answers = fits.map((fit) => {
    const { id } = fit.envelope;
    const held = hashes.get(id);
    if (held !== undefined) return held === fit.hash ? 'had' : 'refused';
    hashes.set(id, fit.hash);
    rows.push(rowOf(site, ++pos, fit, receivedAt));
    return 'stored';
  });
  await statements.insert(within, rows);
  // Given back within the same transaction, so that positions have no gap.
  if (rows.length < fits.length) await moveHead(within, site, rows.length - fits.length);
  return answers;
}

async function moveHead(within: Within, site: SiteId, by: number): Promise<number> {
  const { head } = await within
    .updateTable('site_head')
    .set((eb) => ({ head: eb('head', '+', by) }))
    .where('site', '=', site)
    .returning('head')
    .executeTakeFirstOrThrow(() => new Error(`there is no site ${site}`));
  return Number(head);
}

function rowOf(site: SiteId, pos: number, fit: Fit, received_at: Instant): RecordRow {
  const { envelope, pair, stage, json, hash } = fit;
  const { id, bench, seq, at, kind, v, by } = envelope;
  return { site, pos, id, bench, seq, at, kind, v, pair, stage, by, received_at, hash, json };
}

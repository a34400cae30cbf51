/**
 * What a ledger says at one of its positions, in short, so that two of them can be held against each other: the
 * records themselves, every pair folded from them, and the desk's page.
 */
import { createHash, hash } from 'node:crypto';
import * as z from 'zod';
import { foldPair } from '../../domain/fold/pair.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { RecordId, SiteId } from '../../domain/ids.ts';
import { asBenchId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { type SiteBook, shiftAt } from '../../domain/site-book.ts';
import { deskView, mattersSince } from '../desk-view.ts';
import { canonicalJson } from '../ledger/canonical-json.ts';
import { allPlaced, placedOf } from '../ledger/held.ts';
import type { ServerLedger } from '../ledger/ledger.ts';

const PAGE = 1_000;
/** For asking how a site stands where no bench asks. */
const NOBODY = asBenchId('nobody');

const digest = z.string().regex(/^[0-9a-f]{64}$/);

export const siteFiguresSchema = z.object({
  site: z.string(),
  dataset: z.string(),
  /** Up to which position, and at what time the desk was looked at. */
  head: z.int(),
  at: z.number(),
  book: z.int(),
  /** SHA-256 over position and text of each record in turn. */
  records: digest,
  pairs: z.int(),
  /** SHA-256 over all folded pairs, by their tickets. */
  folds: digest,
  desk: z.object({ pairsOpen: z.int(), open: z.int(), flags: z.int(), view: digest }),
  /** Photographs that the records name: how many are held with the bytes that they are named by, and how many are not. */
  photos: z.object({ whole: z.int(), broken: z.int() }),
});
export type SiteFigures = z.infer<typeof siteFiguresSchema>;

/** At which position of a site to look, when, and by which book. */
export interface Looking {
  readonly head: number;
  readonly at: Instant;
  readonly book: SiteBook;
}

/** Everything that a ledger holds of a site now, looked at at `at`. @throws Error where the site is not here */
export async function lookingAt(ledger: ServerLedger, site: SiteId, at: Instant): Promise<Looking> {
  const [standing, book] = [await ledger.standing(site, NOBODY), await ledger.book(site)];
  if (standing === null || book === null) throw new Error(`there is no site ${site}`);
  return { head: standing.head, at, book };
}

/** What comes after `head` is left out, so that a ledger that is written meanwhile can be held against its copy. */
export async function figuresOf(
  ledger: ServerLedger,
  site: SiteId,
  { head, at, book }: Looking,
): Promise<SiteFigures> {
  const standing = await ledger.standing(site, NOBODY);
  if (standing === null) throw new Error(`there is no site ${site}`);
  const { dataset, epoch } = standing;
  const { records, photos } = await readThrough(ledger, site, head, epoch);
  const shift = shiftAt(book, at);
  const since = shift?.from ?? at;
  const folds = createHash('sha256');
  const shown: PairState[] = [];
  const pairs = (await ledger.pairsTouched(site, 0, head)).toSorted();
  for (const pair of pairs) {
    const held = (await ledger.recordsOfPair(site, pair)).filter(({ pos }) => pos <= head);
    const state = foldPair(pair, allPlaced(held, epoch));
    folds.update(canonicalJson(state));
    if (mattersSince(state, since)) shown.push(state);
  }
  const view = deskView({ pairs: shown, book, shift, since });
  return {
    site,
    dataset,
    head,
    at,
    book: book.version,
    records,
    pairs: pairs.length,
    folds: folds.digest('hex'),
    desk: {
      pairsOpen: view.pairsOpen,
      open: view.open.length,
      flags: view.flags.length,
      view: hash('sha256', canonicalJson(view), 'hex'),
    },
    photos,
  };
}

async function readThrough(ledger: ServerLedger, site: SiteId, head: number, epoch: string) {
  const records = createHash('sha256');
  const photos = { whole: 0, broken: 0 };
  const named = new Map<string, RecordId>();
  for (let after = 0; after < head; ) {
    const page = (await ledger.read(site, after, PAGE)).filter(({ pos }) => pos <= head);
    for (const one of page) {
      records.update(`${one.pos}\n${one.json}\n`);
      const record = placedOf(one, epoch)?.record;
      if (record?.kind === 'pictured') named.set(record.photo, record.id);
    }
    const last = page.at(-1)?.pos;
    // Short of its head: the digest says so, since the other one goes on.
    if (last === undefined) break;
    after = last;
  }
  for (const photo of named.keys()) {
    const held = await ledger.photo(site, photo);
    // One that its tablet has not sent yet is no fault of the copy.
    if (held === null) continue;
    photos[hash('sha256', held.body, 'hex') === photo ? 'whole' : 'broken'] += 1;
  }
  return { records: records.digest('hex'), photos };
}

/** In what two accounts of one site differ, in words; none where they say the same. */
export function differences(ours: SiteFigures, theirs: SiteFigures): readonly string[] {
  const lines: readonly (readonly [string, unknown, unknown])[] = [
    ['dataset', ours.dataset, theirs.dataset],
    ['head', ours.head, theirs.head],
    ['records', ours.records, theirs.records],
    ['pairs', ours.pairs, theirs.pairs],
    ['folded pairs', ours.folds, theirs.folds],
    ['pairs open at the desk', ours.desk.pairsOpen, theirs.desk.pairsOpen],
    ['the desk’s page', ours.desk.view, theirs.desk.view],
    ['photographs with other bytes', ours.photos.broken, theirs.photos.broken],
  ];
  return lines.flatMap(([what, one, other]) => (one === other ? [] : [`${what}: ${one}, not ${other}`]));
}

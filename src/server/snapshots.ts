/**
 * Which pairs a tablet that is new to a site is given at once: those in the works, and those touched in the last days.
 *
 * The list of a moment is kept for a while, so that the pages of one snapshot, and the tablets of one morning, need not
 * make it again. It need not be the same on every page: a pair that it leaves out was touched after the snapshot's
 * position, and the tablet hears of that when it pulls and fetches the pair whole.
 */
import type { PairId, SiteId } from '../domain/ids.ts';
import { DAY_MS, type Instant, MINUTE_MS } from '../domain/instant.ts';
import type { Followers } from './followers.ts';
import type { Held, ServerLedger, Standing } from './ledger/ledger.ts';

export const SNAPSHOT_DAYS = 30;
/** Written by a slow tablet, row by row, in a fraction of its time limit for one transaction. */
export const SNAPSHOT_RECORDS = 1_500;
/** No answer holds up the server, or the thread that reads it, for longer than a tenth of a second or so. */
export const SNAPSHOT_RECORDS_MAX = 6_000;
/** Few pairs have fewer. */
const RECORDS_A_PAIR = 30;
const KEPT_MS = MINUTE_MS;
const LISTS_KEPT = 4;
/** About a machine and no pair. What is about racks and lasts is about a pair as well, and comes with it. */
const MACHINE_KINDS = ['machine-stopped', 'machine-back'];

interface PairList {
  readonly epoch: string;
  readonly head: number;
  readonly madeAt: Instant;
  /** In the order of their numbers. */
  readonly pairs: Promise<readonly PairId[]>;
}

/** Where in a snapshot a page stands. */
export interface SnapshotPlace {
  /** The snapshot's position. */
  readonly head: number;
  /** The last pair that the tablet has; null for the first page. */
  readonly after: PairId | null;
}

export interface SnapshotPage {
  readonly head: number;
  readonly held: readonly Held[];
  readonly next: PairId | null;
}

export class Snapshots {
  readonly #ledger: ServerLedger;
  readonly #followers: Followers;
  /** The newest last. */
  readonly #lists = new Map<SiteId, readonly PairList[]>();

  constructor(ledger: ServerLedger, followers: Followers) {
    this.#ledger = ledger;
    this.#followers = followers;
  }

  /**
   * @param place null to begin
   * @param records that the page is cut to; one pair that has more is given whole all the same
   */
  async page(
    site: SiteId,
    standing: Standing,
    place: SnapshotPlace | null,
    now: Instant,
    records = SNAPSHOT_RECORDS,
  ): Promise<SnapshotPage> {
    const { head, pairs } = this.#listFor(site, standing, place?.head ?? null, now);
    const at = place?.head ?? head;
    const after = place?.after ?? null;
    const all = await pairs;
    const from = after === null ? 0 : firstAfter(all, after);
    const some = all.slice(from, from + Math.ceil(records / RECORDS_A_PAIR));
    const byPair = await this.#ledger.recordsOfPairs(site, some, at);
    const { held, next } = cut(some, byPair, records, from + some.length < all.length);
    const machines = after === null ? await this.#ledger.recordsOfKinds(site, MACHINE_KINDS, at) : [];
    return { head: at, held: [...machines, ...held], next };
  }

  #listFor(site: SiteId, standing: Standing, head: number | null, now: Instant): PairList {
    const lists = this.#lists.get(site) ?? [];
    const kept = lists.findLast(
      (list) =>
        list.epoch === standing.epoch &&
        list.head <= standing.head &&
        (head === null ? Math.abs(now - list.madeAt) < KEPT_MS : list.head === head),
    );
    if (kept !== undefined) return kept;
    const pairs = this.#pairsNow(site, standing, now);
    const list = { epoch: standing.epoch, head: head ?? standing.head, madeAt: now, pairs };
    this.#lists.set(site, [...lists, list].slice(-LISTS_KEPT));
    pairs.catch(() => this.#forget(site, list));
    return list;
  }

  #forget(site: SiteId, list: PairList): void {
    this.#lists.set(
      site,
      (this.#lists.get(site) ?? []).filter((other) => other !== list),
    );
  }

  async #pairsNow(site: SiteId, standing: Standing, now: Instant): Promise<readonly PairId[]> {
    const lately = new Set(await this.#ledger.pairsSince(site, now - SNAPSHOT_DAYS * DAY_MS));
    const longHere = await this.#followers.longHere(site).pairs(standing, lately);
    return [...lately, ...longHere].sort();
  }
}

/** The first pair that comes after this one, whether or not this one is in the list. */
function firstAfter(pairs: readonly PairId[], after: PairId): number {
  let [low, high] = [0, pairs.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((pairs[middle] ?? '') > after) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** As many whole pairs as fit a page, and always one. */
function cut(
  pairs: readonly PairId[],
  byPair: ReadonlyMap<PairId, readonly Held[]>,
  most: number,
  more: boolean,
): Pick<SnapshotPage, 'held' | 'next'> {
  const held: Held[] = [];
  for (const [index, pair] of pairs.entries()) {
    const records = byPair.get(pair) ?? [];
    const previous = pairs[index - 1];
    if (previous !== undefined && held.length + records.length > most) return { held, next: previous };
    held.push(...records);
  }
  return { held, next: more ? (pairs.at(-1) ?? null) : null };
}

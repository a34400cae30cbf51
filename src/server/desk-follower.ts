/**
 * Follows one site's ledger and keeps the pairs that the desk's page shows: those in work, and those of this shift.
 *
 * - It keeps folded states, never sums: a late record, or one that takes another back, folds its pair anew from all
 *   of that pair's records, so what is shown is what the whole ledger says.
 * - It only forgets what cannot matter later. Should the beginning of the shift move back (another book, a clock put
 *   right), the pairs touched since then are fetched again.
 * - After a restart, or under a new epoch, it begins at the ledger's start.
 */
import { setImmediate as breathe } from 'node:timers/promises';
import { foldPair } from '../domain/fold/pair.ts';
import type { PairState } from '../domain/fold/pair-state.ts';
import type { PairId, SiteId } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import { pairOf } from '../domain/record/kinds.ts';
import { type SiteBook, shiftAt } from '../domain/site-book.ts';
import type { DeskNow } from '../wire/desk.ts';
import { deskView, mattersSince } from './desk-view.ts';
import { allPlaced, placedOf } from './ledger/held.ts';
import type { ServerLedger, Standing } from './ledger/ledger.ts';

/** After so many folds other requests get their turn. */
const FOLDS_AT_ONCE = 100;

export class DeskFollower {
  readonly #ledger: ServerLedger;
  readonly #site: SiteId;
  readonly #pairs = new Map<PairId, PairState>();
  #epoch: string | null = null;
  #pos = 0;
  #since: Instant = Number.POSITIVE_INFINITY;
  #turn: Promise<unknown> = Promise.resolve();

  constructor(ledger: ServerLedger, site: SiteId) {
    this.#ledger = ledger;
    this.#site = site;
  }

  /** What the desk's page shows at `now`, with all that the ledger held at `standing`. */
  view(standing: Standing, book: SiteBook, now: Instant): Promise<Omit<DeskNow, 'state'>> {
    // One after the other: two requests must not advance the same position.
    const view = this.#turn.then(async () => {
      const shift = shiftAt(book, now);
      const since = shift?.from ?? now;
      await this.#catchUp(standing, since);
      return deskView({ pairs: this.#pairs.values(), book, shift, since });
    });
    this.#turn = view.catch(() => {});
    return view;
  }

  /** How many pairs are kept in memory. */
  get kept(): number {
    return this.#pairs.size;
  }

  async #catchUp({ epoch, head }: Standing, since: Instant): Promise<void> {
    if (epoch === this.#epoch && head < this.#pos && (await this.#holds(this.#pos))) return;
    if (epoch !== this.#epoch || head < this.#pos) {
      this.#pairs.clear();
      this.#pos = 0;
      this.#since = since;
      this.#epoch = epoch;
    }
    const touched = new Set(await this.#ledger.pairsTouched(this.#site, this.#pos, head));
    if (since < this.#since) {
      for await (const held of this.#ledger.recordsBetween(this.#site, since, this.#since)) {
        const pair = pairOf(placedOf(held, epoch)?.record ?? { kind: 'newer' });
        if (pair !== null) touched.add(pair);
      }
    }
    let folded = 0;
    for (const pair of touched) {
      const held = await this.#ledger.recordsOfPair(this.#site, pair);
      const state = foldPair(pair, allPlaced(held, epoch));
      if (mattersSince(state, since)) this.#pairs.set(pair, state);
      else this.#pairs.delete(pair);
      folded += 1;
      if (folded % FOLDS_AT_ONCE === 0) await breathe();
    }
    for (const [pair, state] of this.#pairs) {
      if (!mattersSince(state, since)) this.#pairs.delete(pair);
    }
    // Last, so that a fault on the way is made good by the next request.
    this.#pos = head;
    this.#since = since;
  }

  /** Whether a request only came late with a standing of before, and the ledger was not put back. */
  async #holds(pos: number): Promise<boolean> {
    return (await this.#ledger.read(this.#site, pos - 1, 1)).length > 0;
  }
}

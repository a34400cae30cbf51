/**
 * Follows one site's ledger and knows which pairs are still in the works though nobody has touched them lately. Those that
 * were touched lately are in a snapshot anyway and are not folded for it: on most days that is nearly all of them.
 *
 * - What is known of a pair stands until a record about it comes in.
 * - Under a new epoch, or over a ledger that was put back, it begins at the ledger's start.
 */
import { setImmediate as breathe } from 'node:timers/promises';
import { foldPair } from '../domain/fold/pair.ts';
import type { PairId, SiteId } from '../domain/ids.ts';
import { isHere } from './desk-view.ts';
import { allPlaced } from './ledger/held.ts';
import type { ServerLedger, Standing } from './ledger/ledger.ts';

/** After so many folds other requests get their turn. */
const PAIRS_AT_ONCE = 50;

export class LongHere {
  readonly #ledger: ServerLedger;
  readonly #site: SiteId;
  /** Whether each pair is here; null where it has not been looked at since it was last touched. */
  readonly #here = new Map<PairId, boolean | null>();
  #epoch: string | null = null;
  #pos = 0;
  #turn: Promise<unknown> = Promise.resolve();

  constructor(ledger: ServerLedger, site: SiteId) {
    this.#ledger = ledger;
    this.#site = site;
  }

  /** The pairs in the works, and those clocked in somewhere, that are not among `lately`; by all up to `standing`. */
  pairs(standing: Standing, lately: ReadonlySet<PairId>): Promise<readonly PairId[]> {
    // One after the other: two requests must not advance the same position.
    const pairs = this.#turn.then(async () => {
      await this.#catchUp(standing);
      await this.#lookAt(
        [...this.#here].flatMap(([pair, here]) => (here === null && !lately.has(pair) ? [pair] : [])),
      );
      return [...this.#here].flatMap(([pair, here]) => (here === true && !lately.has(pair) ? [pair] : []));
    });
    this.#turn = pairs.catch(() => {});
    return pairs;
  }

  async #catchUp({ epoch, head }: Standing): Promise<void> {
    if (epoch === this.#epoch && head < this.#pos && (await this.#holds(this.#pos))) return;
    if (epoch !== this.#epoch || head < this.#pos) {
      this.#here.clear();
      this.#pos = 0;
      this.#epoch = epoch;
    }
    for (const pair of await this.#ledger.pairsTouched(this.#site, this.#pos, head))
      this.#here.set(pair, null);
    this.#pos = head;
  }

  async #lookAt(pairs: readonly PairId[]): Promise<void> {
    for (let from = 0; from < pairs.length; from += PAIRS_AT_ONCE) {
      const some = pairs.slice(from, from + PAIRS_AT_ONCE);
      const byPair = await this.#ledger.recordsOfPairs(this.#site, some, this.#pos);
      for (const pair of some) {
        const held = byPair.get(pair) ?? [];
        this.#here.set(pair, isHere(foldPair(pair, allPlaced(held, this.#epoch ?? ''))));
      }
      await breathe();
    }
  }

  /** Whether a request only came late with a standing of before, and the ledger was not put back. */
  async #holds(pos: number): Promise<boolean> {
    return (await this.#ledger.read(this.#site, pos - 1, 1)).length > 0;
  }
}

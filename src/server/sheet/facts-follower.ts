/**
 * Keeps one site's cache of facts (`ledger/facts-cache.ts`) up with its ledger: whoever asks for figures has it caught up
 * first, and only the pairs touched since are computed again. Begun anew after a restore, and when the rules change by
 * which facts are computed, it goes through all pairs and says how far it is.
 */
import { setImmediate as breathe } from 'node:timers/promises';
import { codeHash } from '../../domain/code-hash.ts';
import { factsOf } from '../../domain/figures/facts-of.ts';
import type { PairId, SiteId } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { FactsHead, KeptFacts } from '../ledger/facts-cache.ts';
import { allPlaced } from '../ledger/held.ts';
import type { ServerLedger, Standing } from '../ledger/ledger.ts';

/** Grows with every change of what facts are or how they are computed: what was kept before is then of no use. */
const FACTS_VERSION = 1;
/** So many pairs are kept in one transaction; other requests get their turn in between. */
const PAIRS_AT_ONCE = 200;
/** Other processes may have moved the cache on; after so many tries something else is wrong. */
const TRIES = 20;

/** How far the catching up is: pairs computed, of so many. */
export interface Progress {
  readonly done: number;
  readonly of: number;
}

export class FactsFollower {
  readonly #ledger: ServerLedger;
  readonly #site: SiteId;
  #turn: Promise<void> = Promise.resolve();
  #progress: Progress | null = null;

  constructor(ledger: ServerLedger, site: SiteId) {
    this.#ledger = ledger;
    this.#site = site;
  }

  /** How far it is; null while it has nothing to do. */
  get progress(): Progress | null {
    return this.#progress;
  }

  /** Resolves when the cache holds all that the ledger held at `standing`. */
  upTo(standing: Standing, book: SiteBook): Promise<void> {
    // One after the other: two requests must not compute the same pairs.
    const turn = this.#turn.then(() => this.#catchUp(standing, book));
    this.#turn = turn.catch(() => {});
    return turn;
  }

  async #catchUp({ epoch, head }: Standing, book: SiteBook): Promise<void> {
    const stamp = stampOf(book);
    try {
      for (let tries = 0; tries < TRIES; tries += 1) {
        const at = await this.#ledger.factsHead(this.#site);
        if (at === null || at.epoch !== epoch || at.stamp !== stamp) {
          await this.#ledger.beginFacts(this.#site, at, { epoch, stamp });
          continue;
        }
        if (at.pos >= head || (await this.#compute(at, head, book))) return;
      }
      throw new Error(`the facts of ${this.#site} could not be caught up: others keep moving them`);
    } finally {
      this.#progress = null;
    }
  }

  /** False where another process moved the cache meanwhile. */
  async #compute(at: FactsHead, head: number, book: SiteBook): Promise<boolean> {
    const pairs = await this.#ledger.pairsTouched(this.#site, at.pos, head);
    for (let done = 0; done < pairs.length; done += PAIRS_AT_ONCE) {
      this.#progress = { done, of: pairs.length };
      const some = pairs.slice(done, done + PAIRS_AT_ONCE);
      const last = done + PAIRS_AT_ONCE >= pairs.length;
      const kept = await this.#factsOf(some, head, at.epoch, book);
      // The head moves with the last of them alone: cut off before that, all are computed again.
      const after = last ? { ...at, pos: head } : at;
      if (!(await this.#ledger.keepFacts(this.#site, at, after, kept))) return false;
      await breathe();
    }
    return pairs.length > 0 || this.#ledger.keepFacts(this.#site, at, { ...at, pos: head }, []);
  }

  async #factsOf(
    pairs: readonly PairId[],
    head: number,
    epoch: string,
    book: SiteBook,
  ): Promise<readonly KeptFacts[]> {
    const held = await this.#ledger.recordsOfPairs(this.#site, pairs, head);
    return pairs.map((pair) => {
      const facts = factsOf(pair, allPlaced(held.get(pair) ?? [], epoch), book);
      if (facts === null) return { pair, firstAt: 0, lastAt: null, json: null };
      const { first, closed } = facts;
      return { pair, firstAt: first.at, lastAt: closed?.at ?? null, json: JSON.stringify(facts) };
    });
  }
}

/** The rules by which facts are computed: a pair keeps the version of the routes it was logged under, the ways hold for all. */
function stampOf({ ways, closingStage, routes }: SiteBook): string {
  const rules = { version: FACTS_VERSION, ways, closingStage, first: routes[0]?.version ?? null };
  return codeHash(JSON.stringify(rules));
}

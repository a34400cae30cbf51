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
import type { Held, ServerLedger, Standing } from '../ledger/ledger.ts';

/** Grows with every change of what facts are or how they are computed: what was kept before is then of no use. */
const FACTS_VERSION = 2;
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

  /** Whether the cache holds that still: another process may have begun it anew since. */
  async holds({ epoch, head }: Standing, book: SiteBook): Promise<boolean> {
    const at = await this.#ledger.factsHead(this.#site);
    return at !== null && at.epoch === epoch && at.stamp === stampOf(book) && at.pos >= head;
  }

  async #catchUp({ epoch, head }: Standing, book: SiteBook): Promise<void> {
    const stamp = stampOf(book);
    try {
      let furthest = 0;
      for (let tries = 0; tries < TRIES; tries += 1) {
        const at = await this.#ledger.factsHead(this.#site);
        if (at === null || at.epoch !== epoch || at.stamp !== stamp) {
          await this.#ledger.beginFacts(this.#site, at, { epoch, stamp });
          continue;
        }
        // As long as somebody gets on, nothing is wrong.
        if (at.pos > furthest) [tries, furthest] = [0, at.pos];
        if (at.pos >= head || (await this.#compute(at, head, book))) return;
      }
      throw new Error(`the facts of ${this.#site} could not be caught up: others keep moving them`);
    } finally {
      this.#progress = null;
    }
  }

  /**
   * The head moves with each batch: a slower process that began at the same place cannot put its older facts over these.
   * @returns false where another process moved the cache meanwhile
   */
  async #compute(from: FactsHead, head: number, book: SiteBook): Promise<boolean> {
    const pairs = await this.#ledger.pairsTouched(this.#site, from.pos, head);
    let at = from;
    for (let done = 0; done < pairs.length; done += PAIRS_AT_ONCE) {
      this.#progress = { done, of: pairs.length };
      const some = pairs.slice(done, done + PAIRS_AT_ONCE);
      const last = done + PAIRS_AT_ONCE >= pairs.length;
      const held = await this.#ledger.recordsOfPairs(this.#site, some, head);
      const kept = some.map((pair) => keptOf(pair, held.get(pair) ?? [], at.epoch, book));
      // Whoever was touched up to there is among those that are kept: they come by the last record about them.
      const upTo = last ? head : Math.max(at.pos, ...some.map((pair) => held.get(pair)?.at(-1)?.pos ?? 0));
      const after = { ...at, pos: upTo };
      if (!(await this.#ledger.keepFacts(this.#site, at, after, kept))) return false;
      at = after;
      await breathe();
    }
    return pairs.length > 0 || this.#ledger.keepFacts(this.#site, at, { ...at, pos: head }, []);
  }
}

function keptOf(pair: PairId, held: readonly Held[], epoch: string, book: SiteBook): KeptFacts {
  const facts = factsOf(pair, allPlaced(held, epoch), book);
  if (facts === null) return { pair, firstAt: 0, lastAt: null, json: null };
  const { first, closed } = facts;
  return { pair, firstAt: first.at, lastAt: closed?.at ?? null, json: JSON.stringify(facts) };
}

/** The rules by which facts are computed: a pair keeps the version of the routes it was logged under, the ways hold for all. */
function stampOf({ ways, closingStage, routes }: SiteBook): string {
  const rules = { version: FACTS_VERSION, ways, closingStage, first: routes[0]?.version ?? null };
  return codeHash(JSON.stringify(rules));
}

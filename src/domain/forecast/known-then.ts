/** What a site could know at an earlier instant: its records up to then, and not one that was made later. */
import type { PairFacts } from '../figures/facts.ts';
import { factsOf } from '../figures/facts-of.ts';
import type { Placed } from '../fold/order.ts';
import { foldPair } from '../fold/pair.ts';
import type { PairId } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { SiteBook } from '../site-book.ts';
import { aheadOf, type PairAhead } from './ahead.ts';
import { factsUntil } from './facts-until.ts';

export interface Known {
  readonly facts: readonly PairFacts[];
  /** The open pairs whose way is known. */
  readonly ahead: readonly PairAhead[];
}

/** One pair's records, and its facts by all of them. */
export interface Chronicle {
  readonly facts: PairFacts;
  readonly placed: readonly Placed[];
}

/** Pairs that had left by then are cut from their facts; those that were here are folded anew from their records. */
export function knownAt(chronicles: ReadonlyMap<PairId, Chronicle>, book: SiteBook, at: Instant): Known {
  const facts: PairFacts[] = [];
  const ahead: PairAhead[] = [];
  for (const [pair, { facts: all, placed }] of chronicles) {
    const then = factsUntil(all, at);
    if (then === null || then.closed !== null) {
      if (then !== null) facts.push(then);
      continue;
    }
    const made = placed.filter(({ record }) => record.at <= at);
    const known = factsOf(pair, made, book);
    if (known === null) continue;
    facts.push(known);
    const left = aheadOf(known, foldPair(pair, made), book);
    if (left !== null) ahead.push(left);
  }
  return { facts, ahead };
}

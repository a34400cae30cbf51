/** A pair's records turned into its facts. */
import type { Placed } from '../fold/order.ts';
import { foldPair } from '../fold/pair.ts';
import type { PairId } from '../ids.ts';
import type { RecordOf } from '../record/kinds.ts';
import type { SiteBook } from '../site-book.ts';
import type { PairFacts, SentBackFacts } from './facts.ts';
import { holdsOf } from './holds-of.ts';
import { spellFacts } from './spell-facts.ts';
import { standingOf } from './standing.ts';
import { staysOf } from './stays-of.ts';
import { waitsOf } from './waits-of.ts';

/**
 * Plain data: it can be kept as JSON and read again.
 * @param placed the pair's records, in any order of arrival
 * @param book never changed in place: what was worked out for it is remembered by it
 * @returns null where no record of the pair stands
 */
export function factsOf(pair: PairId, placed: readonly Placed[], book: SiteBook): PairFacts | null {
  const state = foldPair(pair, placed);
  const standing = standingOf(placed, state);
  const stays = staysOf(standing);
  const [first, last] = [stays[0], stays.at(-1)];
  if (first === undefined || last === undefined) return null;
  const holds = holdsOf(standing, stays, book.ways.owner);
  return {
    pair,
    job: state.details?.job ?? null,
    promised: state.details?.promised ?? null,
    logged: state.logged === null ? null : { at: state.logged.at, record: state.logged.id },
    first: first.from,
    stays,
    closed: last.to,
    handedBack: last.unfinished,
    spells: state.spells.map((spell) => spellFacts(spell, state.sentBack)),
    waits: waitsOf(pair, standing, stays, holds, book),
    holds,
    sentBack: state.sentBack.map(sentBackFacts),
    flags: state.flags,
  };
}

function sentBackFacts({ at, id, from, to, shoe, fault }: RecordOf<'sent-back'>): SentBackFacts {
  return { at, record: id, from, to, shoe, fault };
}

/** Who this desk is, as the questions to the server need it; it comes from the desk's ledger. */
import type { BenchId, SiteId } from '../domain/ids.ts';
import type { SiteBook } from '../domain/site-book.ts';
import type { Enrolment } from '../tablet/ledger/ledger.ts';
import { factsOf, type SiteFacts } from './site-facts.ts';

export interface SetUp {
  readonly site: SiteId;
  readonly dataset: string;
  readonly desk: BenchId;
  readonly name: string;
  readonly key: string;
  readonly facts: SiteFacts;
}

/** Null where the site's time zone is unknown to this browser. */
export function setUpOf(enrolment: Enrolment, book: SiteBook): SetUp | null {
  const { site, dataset, bench: desk, name, key } = enrolment;
  const facts = factsOf(book);
  return facts === null ? null : { site, dataset, desk, name, key, facts };
}

/** Who asks what, with everything that an answer of the read interface is made of, as of one moment. */
import { calledByName, type ExportView, exportView, type HandNaming } from '../../domain/export/view.ts';
import type { SiteId } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { Standing } from '../ledger/ledger.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { pseudonymsOf } from './pseudonyms.ts';

export type HandsWanted = 'pseudonyms' | 'names';

export interface Asking {
  readonly site: SiteId;
  readonly standing: Standing;
  /** Its hands are named as they are to be called in the answer. */
  readonly book: SiteBook;
  readonly view: ExportView;
}

/** Null where names are wanted by somebody who may not have them. */
export async function askingOf(
  parts: ServerParts,
  c: AppContext,
  hands: HandsWanted,
): Promise<Asking | null> {
  const { site, bench, place } = c.get('bench');
  if (hands === 'names' && place !== 'desk') return null;
  const { ledger } = parts;
  const [standing, book] = [await ledger.standing(site, bench), await ledger.book(site)];
  if (standing === null || book === null) throw new Error(`site ${site} is not here`);
  const called = hands === 'names' ? calledByName(book) : await pseudonymsOf(parts, site);
  return { site, standing, book: withHandsCalled(book, called), view: exportView(book, called) };
}

export const NAMES_ARE_FOR_DESKS = 'hands: names are for a desk of the site';
export const NO_PERSONAL_FIGURES = 'hands: the site has no figures about single persons';

function withHandsCalled(book: SiteBook, called: HandNaming): SiteBook {
  return { ...book, operatives: book.operatives.map((one) => ({ ...one, name: called(one.id) })) };
}

/** What is recorded when a supervisor settles something at the desk, or what is missing for it. */

import type { OperativeId } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import { type PutRightItem, toPutRight } from '../domain/put-right.ts';
import { settledBy, type TimesChosen, timeGiven } from '../domain/put-right-drafts.ts';
import type { Settling } from '../domain/put-right-settlings.ts';
import { type LedgerRecord, pairOf } from '../domain/record/kinds.ts';
import { roleOf, type SiteBook } from '../domain/site-book.ts';
import { putRightWords, stockWhys } from '../words/put-right.ts';
import type { Act, Office } from './office.ts';
import { lineOf, type Prepared } from './whereabouts-acts.ts';

/** Only a supervisor settles; the record carries the name. */
export function mayPutRight(at: OperativeId | null, book: SiteBook): boolean {
  return at !== null && roleOf(book, at) === 'supervisor';
}

export function supervisorsOf({ operatives }: SiteBook): readonly string[] {
  return operatives.filter(({ role }) => role === 'supervisor').map(({ name }) => name);
}

const lists = new WeakMap<Office, readonly PutRightItem[]>();

/** The list as the desk's own ledger tells it; the same for everything on the page that asks. */
export function putRightList(office: Office): readonly PutRightItem[] {
  const known = lists.get(office);
  if (known !== undefined) return known;
  const { pairs, book, now } = office;
  // What concerns a bench alone is not among the folded pairs.
  const list = toPutRight(pairs.values(), [], book, book.shifts, now);
  lists.set(office, list);
  return list;
}

type TimeSettling = Extract<Settling, { by: 'time' }>;

export function giveTime(
  item: PutRightItem,
  settling: TimeSettling,
  chosen: TimesChosen,
  { book, now }: Pick<Office, 'book' | 'now'>,
  typed: string,
): Prepared {
  const problem = timeProblem(settling, chosen, now);
  if (problem !== null) return { is: 'missing', says: problem };
  return { is: 'acts', acts: timeGiven(item, settling, chosen, book.closingStage, whyOf('time', typed)) };
}

function timeProblem({ spell, asks }: TimeSettling, { from, to }: TimesChosen, now: Instant): string | null {
  if ((from ?? 0) > now || (to ?? 0) > now) return putRightWords.ahead;
  if (to === null || to >= (from ?? spell.from)) return null;
  return asks === 'both' ? putRightWords.crossed : putRightWords.backwards;
}

export function settle(
  item: PutRightItem,
  settling: Exclude<Settling, { by: 'time' }>,
  typed: string,
): Prepared {
  return { is: 'acts', acts: settledBy(item, settling, whyOf(settling.by, typed)) };
}

function whyOf(by: Settling['by'], typed: string): string {
  const why = lineOf(typed);
  return why === '' ? stockWhys[by] : why;
}

/** Takes back what has just been recorded, the last first; what took something back cannot be. */
export function undoOf(made: readonly LedgerRecord[]): readonly Act[] {
  if (made.some(({ kind }) => kind === 'voided')) return [];
  return made.toReversed().map((record) => ({
    kind: 'voided',
    said: { pair: pairOf(record), of: record.id, why: putRightWords.undoneWhy },
  }));
}

/**
 * POST /api/site/change: the site's book, changed at a desk. All of the changes stand or none; a desk that saw another
 * version of the book is told so, and overwrites nobody.
 */
import type { StageCode } from '../../domain/ids.ts';
import { roleOf, type SiteBook } from '../../domain/site-book.ts';
import { changeSiteInOne } from '../../domain/site-changes.ts';
import type { SiteAnswer } from '../../wire/site.ts';
import {
  SITE_CHANGE_BYTES_MAX,
  type SiteChangeRequest,
  type SiteFaults,
  siteChangeRequestSchema,
} from '../../wire/site-change.ts';
import { dayAt } from '../../words/site.ts';
import { readBody } from '../body.ts';
import type { Followers } from '../followers.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { stateFor } from '../state.ts';

type Outcome =
  | { readonly is: 'changed'; readonly book: SiteBook }
  | { readonly is: 'book-changed'; readonly version: number }
  | { readonly is: 'not-allowed' }
  | ({ readonly is: 'faulty' } & Pick<SiteFaults, 'at' | 'faults'>);

export function answerSiteChange(parts: ServerParts, followers: Followers) {
  const { ledger } = parts;
  const openAt = openPairsAt(parts, followers);
  return async (c: AppContext): Promise<Response> => {
    const body = await readBody(c, SITE_CHANGE_BYTES_MAX);
    if (body.is === 'refused') return body.answer;
    const asked = siteChangeRequestSchema.safeParse(body.value);
    if (!asked.success) return refuse(c, 'bad-request', reasonsOf(asked.error));

    const { site } = c.get('bench');
    const pairsOpenAt = await openAt(c, asked.data);
    const outcomes: Outcome[] = [];
    const book = await ledger.changeBook(site, (before) => {
      // Judged within the ledger's transaction: two desks cannot both find the version that they saw.
      const outcome = judged(before, asked.data, pairsOpenAt, parts.clock());
      outcomes.push(outcome);
      return outcome.is === 'changed' ? outcome.book : before;
    });
    const said = outcomes.at(-1);
    if (said === undefined) throw new Error(`the book of ${site} was changed without being judged`);
    switch (said.is) {
      case 'book-changed':
        return refuse(c, 'book-changed', [`version: is ${said.version} by now`]);
      case 'not-allowed':
        return refuse(c, 'not-allowed', ['by: is no supervisor of this site']);
      case 'faulty': {
        const reasons = said.faults.map(({ fault }) => `changes.${said.at}: ${fault}`);
        const { at, faults } = said;
        return c.json({ refused: 'bad-request', reasons, at, faults } satisfies SiteFaults, 422);
      }
      case 'changed':
        return c.json({ state: await stateFor(parts, c), book } satisfies SiteAnswer);
    }
  };
}

function judged(
  book: SiteBook,
  { version, changes, by }: SiteChangeRequest,
  pairsOpenAt: ReadonlyMap<StageCode, number>,
  now: number,
): Outcome {
  if (version !== book.version) return { is: 'book-changed', version: book.version };
  if (roleOf(book, by) !== 'supervisor') return { is: 'not-allowed' };
  const context = { now, today: dayAt(now, book.timeZone), pairsOpenAt };
  const changed = changeSiteInOne(book, changes, context);
  if ('ok' in changed) return { is: 'changed', book: changed.ok };
  return { is: 'faulty', at: changed.at, faults: [...changed.faults] };
}

/** How many pairs are clocked in at each stage; asked of the ledger only where a stage may go off the routes. */
function openPairsAt({ ledger, clock }: ServerParts, followers: Followers) {
  return async (c: AppContext, { changes }: SiteChangeRequest): Promise<ReadonlyMap<StageCode, number>> => {
    if (!changes.some(({ change }) => change === 'remove-stage' || change === 'take-stage')) return new Map();
    const { site, bench } = c.get('bench');
    const [standing, book] = [await ledger.standing(site, bench), await ledger.book(site)];
    if (standing === null || book === null) throw new Error(`site ${site} is not here`);
    const { open } = await followers.of(site).view(standing, book, clock());
    const pairs = new Map<StageCode, Set<string>>();
    for (const { stage, pair } of open) pairs.set(stage, (pairs.get(stage) ?? new Set()).add(pair));
    return new Map([...pairs].map(([stage, those]) => [stage, those.size]));
  };
}

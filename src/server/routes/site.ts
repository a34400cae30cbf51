/** GET /api/site: the site's book. */
import type { SiteAnswer } from '../../wire/site.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { stateFor } from '../state.ts';

export function answerSite(parts: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const { site } = c.get('bench');
    const book = await parts.ledger.book(site);
    if (book === null) throw new Error(`site ${site} has no book`);
    return c.json({ state: await stateFor(parts, c), book } satisfies SiteAnswer);
  };
}

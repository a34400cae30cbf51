/** GET /api/desk/now: the shift as it stands. */
import type { SiteId } from '../../domain/ids.ts';
import type { DeskNow } from '../../wire/desk.ts';
import { DeskFollower } from '../desk-follower.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { stateFor } from '../state.ts';

export function answerDeskNow(parts: ServerParts) {
  const { ledger, clock } = parts;
  const followers = new Map<SiteId, DeskFollower>();
  return async (c: AppContext): Promise<Response> => {
    const { site, bench } = c.get('bench');
    const [standing, book] = [await ledger.standing(site, bench), await ledger.book(site)];
    if (standing === null || book === null) throw new Error(`site ${site} is not here`);
    const follower = followers.get(site) ?? new DeskFollower(ledger, site);
    followers.set(site, follower);
    const view = await follower.view(standing, book, clock());
    return c.json({ state: await stateFor(parts, c), ...view } satisfies DeskNow);
  };
}

/** GET /api/desk/now: the shift as it stands. */
import type { DeskNow } from '../../wire/desk.ts';
import type { Followers } from '../followers.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { stateFor } from '../state.ts';

export function answerDeskNow(parts: ServerParts, followers: Followers) {
  const { ledger, clock } = parts;
  return async (c: AppContext): Promise<Response> => {
    const { site, bench } = c.get('bench');
    const [standing, book] = [await ledger.standing(site, bench), await ledger.book(site)];
    if (standing === null || book === null) throw new Error(`site ${site} is not here`);
    const view = await followers.of(site).view(standing, book, clock());
    return c.json({ state: await stateFor(parts, c), ...view } satisfies DeskNow);
  };
}

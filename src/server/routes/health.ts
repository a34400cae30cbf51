/** GET /api/health: whether the server can reach its ledger, for whatever watches over it. Says nothing else. */
import { faultDetails } from '../log.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { refuse } from '../refuse.ts';

export function answerHealth({ ledger, log }: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    try {
      await ledger.sites();
      return c.json({ well: true });
    } catch (fault) {
      log('ledger-out-of-reach', faultDetails(fault));
      return refuse(c, 'server-fault', [], 503);
    }
  };
}

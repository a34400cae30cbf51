import { cursorAt } from '../domain/cursor.ts';
import type { LedgerState } from '../wire/ledger-state.ts';
import type { Standing } from './ledger/ledger.ts';
import type { AppContext, ServerParts } from './parts.ts';

/**
 * How the ledger stands, for the bench that asks. Taken as the last thing before an answer: what the answer holds
 * lies at or before `head`, and `answeredAt` is T3 of RFC 5905.
 */
export async function stateFor({ ledger, clock }: ServerParts, c: AppContext): Promise<LedgerState> {
  const { site, bench } = c.get('bench');
  const standing = await ledger.standing(site, bench);
  if (standing === null) throw new Error(`bench ${bench} is enrolled at a site that is not here: ${site}`);
  return stateOf(standing, { receivedAt: c.get('receivedAt'), answeredAt: clock() });
}

export function stateOf(standing: Standing, clock: LedgerState['clock']): LedgerState {
  const { dataset, epoch, head, book, heldSeq } = standing;
  return { dataset, epoch, head: cursorAt({ epoch, pos: head }), book, heldSeq, clock };
}

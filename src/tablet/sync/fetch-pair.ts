/** One pair whole, for a ticket that is scanned and not held. */
import type { PairId } from '../../domain/ids.ts';
import { LedgerFailure, type TabletLedger } from '../ledger/ledger.ts';
import type { PartsServer } from './server.ts';

/** A scan waits no longer; then the tablet says what it knows by itself. */
export const FETCH_PAIR_MS = 1_500;

export interface FetchEffects {
  readonly ledger: TabletLedger;
  readonly parts: PartsServer;
  readonly dataset: string;
}

/**
 * Asks the server for all that it holds of the pair, and keeps it.
 * @returns whether the pair is held now with what the server knows of it; false too where the server knows nothing,
 *   cannot be reached in time, or has begun another epoch, which is the sync loop's to deal with first
 */
export async function fetchPair(
  { ledger, parts, dataset }: FetchEffects,
  pair: PairId,
  signal: AbortSignal,
): Promise<boolean> {
  const answer = await parts.pair(pair, signal);
  if (answer.is !== 'answer') return false;
  const { state, records } = answer.body;
  if (state.dataset !== dataset || records.length === 0) return false;
  try {
    if ((await ledger.settings()).epoch !== state.epoch) return false;
    await ledger.place(records, state.epoch);
    return true;
  } catch (cause) {
    if (!(cause instanceof LedgerFailure)) throw cause;
    return false;
  }
}

/** How things stand with the server, for the pages. It tells what the last attempt said, never a guess beforehand. */
import type { OffsetSample } from '../../domain/clock-offset.ts';
import type { Instant } from '../../domain/instant.ts';
import type { RefusalKind } from '../../wire/refusal.ts';
import type { LedgerTrouble } from '../ledger/ledger.ts';
import type { NoAnswer } from './server.ts';

export type ServerState =
  | { readonly is: 'not-tried' }
  | { readonly is: 'reached' }
  | { readonly is: 'unreachable'; readonly why: NoAnswer | 'busy' | 'fault' }
  /** No secure connection for minutes though the tablet has a network: the server is off, or its certificate is bad. */
  | { readonly is: 'perhaps-certificate' }
  /** The server would not have this tablet; everything is kept and tried again later. */
  | { readonly is: 'paused'; readonly why: RefusalKind }
  /** Another body of data answers at the server's address; nothing was sent to it. */
  | { readonly is: 'stopped'; readonly why: 'other-dataset' };

export interface SyncStatus {
  readonly server: ServerState;
  /** When the server last answered, by the corrected clock. */
  readonly lastExchangeAt: Instant | null;
  readonly clockOffset: OffsetSample | null;
  /** Records that wait because the server fails on them, while others get through. */
  readonly heldUp: number;
  /** Why the tablet's own store could not be used in the last round. */
  readonly ledger: LedgerTrouble | null;
}

export const STATUS_AT_START: SyncStatus = {
  server: { is: 'not-tried' },
  lastExchangeAt: null,
  clockOffset: null,
  heldUp: 0,
  ledger: null,
};

/** A server that is being started anew is back sooner than this. */
export const PERHAPS_CERTIFICATE_MS = 3 * 60_000;

/**
 * The state after an attempt without an answer.
 * @param withoutConnectionMs how long every attempt has ended with no secure connection
 */
export function withoutAnswer(why: NoAnswer, withoutConnectionMs: number): ServerState {
  const lasting = why === 'no-connection' && withoutConnectionMs >= PERHAPS_CERTIFICATE_MS;
  return lasting ? { is: 'perhaps-certificate' } : { is: 'unreachable', why };
}

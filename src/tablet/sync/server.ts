/** The server as the loop knows it: what it is asked, and everything that can come back instead of an answer. */
import type { Cursor, PairId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import type { PullAnswer } from '../../wire/pull.ts';
import type { PushAnswer } from '../../wire/push.ts';
import type { RefusalKind } from '../../wire/refusal.ts';
import type { SiteAnswer } from '../../wire/site.ts';
import type { PairAnswer, SnapshotAnswer } from '../../wire/snapshot.ts';

/** `no-connection`: the tablet has a network and still got no secure connection; server down or certificate refused. */
export type NoAnswer = 'no-network' | 'no-connection' | 'timed-out' | 'not-our-server';

export type Answer<Body> =
  /** `sentAt` and `arrivedAt` by the tablet's own clock. */
  | { readonly is: 'answer'; readonly body: Body; readonly sentAt: Instant; readonly arrivedAt: Instant }
  | { readonly is: 'unreachable'; readonly why: NoAnswer }
  /** It asks to be left alone for a while. */
  | { readonly is: 'busy'; readonly retryAfterMs: number | null }
  | { readonly is: 'not-allowed'; readonly why: RefusalKind }
  | { readonly is: 'too-large' }
  /** It failed on this very request. */
  | { readonly is: 'fault'; readonly status: number };

export interface Server {
  push(records: readonly LedgerRecord[], signal: AbortSignal): Promise<Answer<PushAnswer>>;
  pull(after: Cursor, signal: AbortSignal): Promise<Answer<PullAnswer>>;
  site(signal: AbortSignal): Promise<Answer<SiteAnswer>>;
}

/** Where in a snapshot to go on. */
export interface SnapshotPlace {
  readonly at: Cursor;
  readonly after: PairId;
}

/** Parts of the server's ledger, for a tablet that does not read all history. */
export interface PartsServer {
  /** @param place null to begin */
  snapshot(place: SnapshotPlace | null, signal: AbortSignal): Promise<Answer<SnapshotAnswer>>;
  pair(pair: PairId, signal: AbortSignal): Promise<Answer<PairAnswer>>;
}

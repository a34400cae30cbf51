/** The server as the loop knows it: three questions, and everything that can come back instead of an answer. */
import type { Cursor } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import type { PullAnswer } from '../../wire/pull.ts';
import type { PushAnswer } from '../../wire/push.ts';
import type { RefusalKind } from '../../wire/refusal.ts';
import type { SiteAnswer } from '../../wire/site.ts';

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

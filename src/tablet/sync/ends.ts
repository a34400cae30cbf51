/** How a round of the sync loop, or a step of it, ends. */
import type { RefusalKind } from '../../wire/refusal.ts';
import type { ServerState } from './status.ts';

export type End =
  | { readonly is: 'settled' }
  | { readonly is: 'failed'; readonly server: ServerState; readonly retryAfterMs: number | null }
  | { readonly is: 'paused'; readonly why: RefusalKind }
  | { readonly is: 'stopped' };

export interface More {
  readonly is: 'more';
}

export const MORE: More = { is: 'more' };
export const SETTLED: End = { is: 'settled' };
export const STOPPED: End = { is: 'stopped' };
export const FAULT: End = { is: 'failed', server: { is: 'unreachable', why: 'fault' }, retryAfterMs: null };
/** Asked about something that the server does not have, or for something that an older one does not know. */
export const NOT_FOUND = 404;

/**
 * The server as photographs know it. Nothing here throws; whatever can come back is a value. An answer is one only
 * when it is of the wire's shape, and a photograph only when its bytes have the hash that was asked for.
 */
import type * as z from 'zod/mini';
import type { SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { PHOTO_BYTES_MAX, photoAnswerSchema, photoPath, photoTypeOf } from '../../wire/photo.ts';
import { refusalSchema } from '../../wire/refusal.ts';
import { HEADERS, WIRE_VERSION } from '../../wire/version.ts';
import { retryAfterMs } from '../sync/retry-after.ts';
import { photoHash } from './photo-hash.ts';
import type { Photo } from './photo-store.ts';

export interface PhotoHttp {
  /** Where the server is, `https://bench.aldermoor.example`. */
  readonly base: string;
  readonly key: string;
  readonly site: SiteId;
  readonly fetch: typeof fetch;
  readonly now: () => Instant;
  readonly timeoutMs?: number;
}

/** Why there was no answer to what was asked. */
export type PhotoTrouble =
  | { readonly is: 'unreachable' }
  | { readonly is: 'busy'; readonly retryAfterMs: number | null }
  /** The key is not, or no longer, taken. */
  | { readonly is: 'not-allowed' }
  /** It failed on this very request, or does not know it. */
  | { readonly is: 'fault' };

export type PutOutcome =
  | { readonly is: 'taken'; readonly dataset: string; readonly epoch: string }
  /** It will never take this one. */
  | { readonly is: 'refused'; readonly reasons: readonly string[] }
  | PhotoTrouble;

export type GetOutcome =
  | { readonly is: 'photo'; readonly photo: Photo }
  /** The server holds no such photograph, so far: its bytes may still be on the tablet that took it. */
  | { readonly is: 'not-there' }
  | PhotoTrouble;

export interface PhotoServer {
  put(photo: Photo, signal: AbortSignal): Promise<PutOutcome>;
  get(photo: string, signal: AbortSignal): Promise<GetOutcome>;
}

/** The server gives up on a request after as long. */
const REQUEST_MS_MAX = 30_000;
/** No cookies, and a redirect is somebody else answering. */
const PLAIN = { credentials: 'omit', redirect: 'manual' } as const;

export function photoServer(http: PhotoHttp): PhotoServer {
  return {
    async put({ photo, type, blob }, signal) {
      const headers = { 'content-type': type, accept: 'application/json' };
      const init = { method: 'PUT', body: blob, headers, cache: 'no-store' } as const;
      const came = await ask(http, photo, init, signal);
      return came === null ? { is: 'unreachable' } : putOutcome(photo, came, http.now());
    },
    // A photograph under its hash never changes: the browser may keep what it got.
    async get(photo, signal) {
      const came = await ask(http, photo, { headers: { accept: 'image/*' } }, signal);
      return came === null ? { is: 'unreachable' } : getOutcome(photo, came, http.now());
    },
  };
}

interface Came {
  readonly response: Response;
  readonly body: ArrayBuffer;
}

async function ask(
  { base, key, site, fetch, timeoutMs = REQUEST_MS_MAX }: PhotoHttp,
  photo: string,
  init: RequestInit & { readonly headers: Record<string, string> },
  signal: AbortSignal,
): Promise<Came | null> {
  const limit = new AbortController();
  const stop = () => limit.abort();
  const timer = setTimeout(stop, timeoutMs);
  signal.addEventListener('abort', stop);
  if (signal.aborted) stop();
  try {
    const ours = {
      authorization: `Bearer ${key}`,
      [HEADERS.wire]: String(WIRE_VERSION),
      [HEADERS.site]: site,
    };
    const response = await fetch(new URL(photoPath(photo), base), {
      ...init,
      ...PLAIN,
      headers: { ...init.headers, ...ours },
      signal: limit.signal,
    });
    return { response, body: await response.arrayBuffer() };
  } catch {
    // A network failure has many names and no details that a script may see.
    return null;
  } finally {
    clearTimeout(timer);
    signal.removeEventListener('abort', stop);
  }
}

function putOutcome(photo: string, came: Came, now: Instant): PutOutcome {
  const { status } = came.response;
  if (status === 200 || status === 201) {
    const answer = jsonOf(came, photoAnswerSchema);
    // A sign-in page of some network, answered with 200, has taken nothing; nor has who speaks of another one.
    if (answer?.photo !== photo) return { is: 'unreachable' };
    return { is: 'taken', dataset: answer.state.dataset, epoch: answer.state.epoch };
  }
  const refusal = jsonOf(came, refusalSchema);
  // Only by the server's own word about this photograph: a proxy's limit, or a server put back to a version without
  // photographs (404), says nothing against it.
  if (refusal?.refused === 'bad-request' || refusal?.refused === 'too-large')
    return { is: 'refused', reasons: refusal.reasons };
  return troubleOf(came, now);
}

async function getOutcome(photo: string, came: Came, now: Instant): Promise<GetOutcome> {
  const { response, body } = came;
  if (response.status === 200) {
    const type = photoTypeOf(new Uint8Array(body));
    const ours = type !== null && body.byteLength <= PHOTO_BYTES_MAX && (await photoHash(body)) === photo;
    if (!ours) return { is: 'unreachable' };
    return { is: 'photo', photo: { photo, type, blob: new Blob([body], { type }) } };
  }
  if (response.status === 404 && jsonOf(came, refusalSchema)?.refused === 'not-found')
    return { is: 'not-there' };
  return troubleOf(came, now);
}

function troubleOf({ response }: Came, now: Instant): PhotoTrouble {
  const { status, headers } = response;
  if (status === 401 || status === 403) return { is: 'not-allowed' };
  if (status === 429 || status === 502 || status === 503)
    return { is: 'busy', retryAfterMs: retryAfterMs(headers.get('retry-after'), now) };
  return { is: 'fault' };
}

function jsonOf<Value>({ body }: Came, schema: z.ZodMiniType<Value>): Value | null {
  try {
    return schema.safeParse(JSON.parse(new TextDecoder().decode(body))).data ?? null;
  } catch {
    // No JSON, so not our server's words.
    return null;
  }
}

/**
 * The server over HTTP. Whatever comes back is an answer only when it is JSON of the wire's shape: a sign-in page
 * of some network, answered with 200, is none. Nothing here throws; what can happen is in `server.ts`.
 */
import type * as z from 'zod/mini';
import type { SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { pullAnswerSchema } from '../../wire/pull.ts';
import { pushAnswerSchema } from '../../wire/push.ts';
import { refusalSchema } from '../../wire/refusal.ts';
import { siteAnswerSchema } from '../../wire/site.ts';
import { pairAnswerSchema, snapshotAnswerSchema } from '../../wire/snapshot.ts';
import { HEADERS, WIRE_VERSION } from '../../wire/version.ts';
import { retryAfterMs } from './retry-after.ts';
import type { Answer, PartsServer, Server } from './server.ts';

export const REQUEST_MS_MAX = 30_000;
/** Below this, compressing costs more than it saves. */
export const GZIP_FROM_BYTES = 4 * 1024;

/** As many as are written in one transaction in a fraction of its time limit, packed; older servers give fewer. */
const SNAPSHOT_RECORDS = 6_000;

export interface HttpEffects {
  /** Where the server is, `https://bench.aldermoor.example`. */
  readonly base: string;
  readonly key: string;
  readonly site: SiteId;
  readonly fetch: typeof fetch;
  readonly now: () => Instant;
  /** False only where the tablet says that it has no network. */
  readonly maybeOnline: () => boolean;
  readonly timeoutMs?: number;
  /** Calls back after so many milliseconds, and gives back how to call that off; by the device's own timer if not told. */
  readonly after?: (ms: number, then: () => void) => () => void;
}

interface Request_ {
  readonly path: string;
  readonly body?: unknown;
  readonly signal: AbortSignal;
}

export function httpServer(effects: HttpEffects): Server {
  return {
    push: (records, signal) =>
      ask(effects, { path: '/api/push', body: { records }, signal }, pushAnswerSchema),
    pull: (after, signal) =>
      ask(effects, { path: `/api/pull?${new URLSearchParams({ after })}`, signal }, pullAnswerSchema),
    site: (signal) => ask(effects, { path: '/api/site', signal }, siteAnswerSchema),
  };
}

export function httpParts(effects: HttpEffects): PartsServer {
  return {
    snapshot: (place, signal) => {
      const query = new URLSearchParams({ ...place, records: String(SNAPSHOT_RECORDS) });
      return ask(effects, { path: `/api/snapshot?${query}`, signal }, snapshotAnswerSchema);
    },
    pair: (pair, signal) => ask(effects, { path: `/api/pair/${pair}`, signal }, pairAnswerSchema),
  };
}

/** The live stream's response, for `live.ts`; it has no time limit, only its signal. */
export function openLive({ base, fetch, ...effects }: HttpEffects, signal: AbortSignal): Promise<Response> {
  return fetch(new URL('/api/live', base), {
    headers: { ...headersOf(effects), accept: 'text/event-stream' },
    ...PLAIN,
    signal,
  });
}

/** No cookies, no caches, and a redirect is somebody else answering. */
const PLAIN = { credentials: 'omit', cache: 'no-store', redirect: 'manual' } as const;

async function ask<Body>(
  effects: HttpEffects,
  { path, body, signal }: Request_,
  schema: z.ZodMiniType<Body>,
): Promise<Answer<Body>> {
  const limit = new AbortController();
  const stop = () => limit.abort();
  signal.addEventListener('abort', stop);
  // Called off already, it would never be told.
  if (signal.aborted) stop();
  let late = false;
  const callOff = (effects.after ?? byTimer)(effects.timeoutMs ?? REQUEST_MS_MAX, () => {
    late = true;
    limit.abort();
  });
  try {
    const sent = body === undefined ? null : await sentBody(body);
    const sentAt = effects.now();
    const response = await effects.fetch(new URL(path, effects.base), {
      method: sent === null ? 'GET' : 'POST',
      headers: { ...headersOf(effects), accept: 'application/json', ...sent?.headers },
      ...(sent === null ? {} : { body: sent.bytes }),
      ...PLAIN,
      signal: limit.signal,
    });
    const text = await response.text();
    return answerFrom(response, text, schema, { sentAt, arrivedAt: effects.now() });
  } catch {
    // A network failure has many names and no details that a script may see.
    if (late) return { is: 'unreachable', why: 'timed-out' };
    const secure = effects.base.startsWith('https:');
    return { is: 'unreachable', why: secure && effects.maybeOnline() ? 'no-connection' : 'no-network' };
  } finally {
    callOff();
    signal.removeEventListener('abort', stop);
  }
}

function answerFrom<Body>(
  response: Response,
  text: string,
  schema: z.ZodMiniType<Body>,
  stamps: { readonly sentAt: Instant; readonly arrivedAt: Instant },
): Answer<Body> {
  const { status } = response;
  const json = jsonOf(response, text);
  const body = schema.safeParse(json);
  // A push with a bad record in it is answered with 400, and with what became of each record all the same.
  if (body.success && (status === 200 || status === 400)) return { is: 'answer', body: body.data, ...stamps };
  if (status === 200) return { is: 'unreachable', why: 'not-our-server' };
  const refusal = refusalSchema.safeParse(json);
  const ours = refusal.success ? refusal.data.refused : null;
  if (status === 401 || status === 403) return { is: 'not-allowed', why: ours ?? 'not-allowed' };
  if (status === 413) return { is: 'too-large' };
  // 502 and 503: the server itself is away; what was asked has nothing to do with it.
  if (status === 429 || status === 502 || status === 503) {
    return { is: 'busy', retryAfterMs: retryAfterMs(response.headers.get('retry-after'), stamps.arrivedAt) };
  }
  if (status >= 500 || ours !== null) return { is: 'fault', status };
  return { is: 'unreachable', why: 'not-our-server' };
}

function byTimer(ms: number, then: () => void): () => void {
  const timer = setTimeout(then, ms);
  return () => clearTimeout(timer);
}

function jsonOf(response: Response, text: string): unknown {
  if (!/^application\/json\b/i.test(response.headers.get('content-type') ?? '')) return undefined;
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function headersOf({ key, site }: Pick<HttpEffects, 'key' | 'site'>): Record<string, string> {
  return { authorization: `Bearer ${key}`, [HEADERS.wire]: String(WIRE_VERSION), [HEADERS.site]: site };
}

async function sentBody(body: unknown): Promise<{ bytes: BodyInit; headers: Record<string, string> }> {
  const text = JSON.stringify(body);
  const headers = { 'content-type': 'application/json' };
  if (text.length < GZIP_FROM_BYTES || !('CompressionStream' in globalThis)) return { bytes: text, headers };
  const packed = new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'));
  return {
    bytes: await new Response(packed).arrayBuffer(),
    headers: { ...headers, 'content-encoding': 'gzip' },
  };
}

/** The desk's questions to the server. Every answer is read by its schema; whatever goes wrong is a value. */
import { createParser } from 'eventsource-parser';
import type * as z from 'zod/mini';
import { type DeskNow, deskNowSchema } from '../wire/desk.ts';
import { type EnrolAnswer, enrolAnswerSchema, type enrolSchema } from '../wire/enrol.ts';
import { type RefusalKind, refusalSchema } from '../wire/refusal.ts';
import { siteAnswerSchema } from '../wire/site.ts';
import { HEADERS, WIRE_VERSION } from '../wire/version.ts';
import type { SetUp } from './set-up.ts';
import { factsOf, type SiteFacts } from './site-facts.ts';

export type { DeskNow };

/**
 * `unreachable`: no answer at all. `not-understood`: an answer that is none of ours, or of another version.
 * `for-a-bench`: the set-up code made a bench. `other-data`: another body of data than the desk was set up for.
 */
export type Trouble = RefusalKind | 'unreachable' | 'not-understood' | 'for-a-bench' | 'other-data';

export type Answer<Value> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly trouble: Trouble };

export interface Ears {
  readonly signal: AbortSignal;
  opened(): void;
  /** Something at the server changed: the event is a hint to ask, never the news itself. */
  heard(): void;
}

export interface DeskApi {
  enrol(token: string, persisted: boolean | null): Promise<Answer<EnrolAnswer>>;
  now(setUp: SetUp, signal: AbortSignal): Promise<Answer<DeskNow>>;
  site(setUp: SetUp, signal: AbortSignal): Promise<Answer<SiteFacts>>;
  /** Any other question whose answer is read by `schema`; with a `body` it is a POST. */
  ask<Schema extends z.ZodMiniType>(
    setUp: SetUp,
    path: string,
    schema: Schema,
    signal: AbortSignal,
    body?: unknown,
  ): Promise<Answer<z.infer<Schema>>>;
  /** Listens until the stream ends, falls silent or is stopped. */
  listen(setUp: SetUp, ears: Ears): Promise<void>;
}

const ANSWER_WITHIN_MS = 10_000;
/** A stream that carries nothing, not even a sign of life, for so long is taken for dead. */
const SILENCE_MAX_MS = 60_000;
const EVENT_LENGTH_MAX = 64 * 1024;

export function deskApi(fetch: typeof globalThis.fetch): DeskApi {
  async function ask<Schema extends z.ZodMiniType>(
    path: string,
    schema: Schema,
    init: RequestInit & { signal: AbortSignal },
  ): Promise<Answer<z.infer<Schema>>> {
    const signal = AbortSignal.any([init.signal, AbortSignal.timeout(ANSWER_WITHIN_MS)]);
    let response: Response;
    let text: string;
    try {
      response = await fetch(path, { cache: 'no-store', ...init, signal });
      text = await response.text();
    } catch {
      // The network, the time limit or our own stop: to the reader all of it is «no answer».
      return { ok: false, trouble: 'unreachable' };
    }
    return read(text, response.ok, schema);
  }

  return {
    async enrol(token, persisted) {
      const body = JSON.stringify({ token, persisted } satisfies z.infer<typeof enrolSchema>);
      const headers = { 'content-type': 'application/json', [HEADERS.wire]: String(WIRE_VERSION) };
      const signal = new AbortController().signal;
      const answer = await ask('/api/enrol', enrolAnswerSchema, { method: 'POST', body, headers, signal });
      if (!answer.ok) return answer;
      if (answer.value.place === 'bench') return { ok: false, trouble: 'for-a-bench' };
      if (factsOf(answer.value.book) === null) return { ok: false, trouble: 'not-understood' };
      return answer;
    },

    async now(setUp, signal) {
      const answer = await ask('/api/desk/now', deskNowSchema, { headers: headersOf(setUp), signal });
      if (answer.ok && answer.value.state.dataset !== setUp.dataset)
        return { ok: false, trouble: 'other-data' };
      return answer;
    },

    async site(setUp, signal) {
      const answer = await ask('/api/site', siteAnswerSchema, { headers: headersOf(setUp), signal });
      if (!answer.ok) return answer;
      const facts = factsOf(answer.value.book);
      return facts === null ? { ok: false, trouble: 'not-understood' } : { ok: true, value: facts };
    },

    ask(setUp, path, schema, signal, body) {
      if (body === undefined) return ask(path, schema, { headers: headersOf(setUp), signal });
      const headers = { ...headersOf(setUp), 'content-type': 'application/json' };
      return ask(path, schema, { method: 'POST', headers, body: JSON.stringify(body), signal });
    },

    async listen(setUp, { signal, opened, heard }) {
      const silence = new AbortController();
      const fallSilent = () => silence.abort();
      let timer = setTimeout(fallSilent, SILENCE_MAX_MS);
      try {
        const response = await fetch('/api/live', {
          cache: 'no-store',
          headers: { ...headersOf(setUp), accept: 'text/event-stream' },
          signal: AbortSignal.any([signal, silence.signal]),
        });
        if (!response.ok || !response.headers.get('content-type')?.startsWith('text/event-stream')) {
          await response.body?.cancel();
          return;
        }
        const reader = response.body?.getReader();
        if (reader === undefined) return;
        opened();
        const decoder = new TextDecoder();
        const parser = createParser({ onEvent: heard, maxBufferSize: EVENT_LENGTH_MAX });
        for (let chunk = await reader.read(); !chunk.done; chunk = await reader.read()) {
          clearTimeout(timer);
          timer = setTimeout(fallSilent, SILENCE_MAX_MS);
          parser.feed(decoder.decode(chunk.value, { stream: true }));
        }
      } catch {
        // A broken stream is an ended stream: the caller opens the next, and polling covers the gap.
      } finally {
        clearTimeout(timer);
        silence.abort();
      }
    },
  };
}

/** What every question to the server carries. */
export function headersOf({ key, site }: SetUp): Record<string, string> {
  return {
    authorization: `Bearer ${key}`,
    [HEADERS.wire]: String(WIRE_VERSION),
    [HEADERS.site]: site,
  };
}

function read<Schema extends z.ZodMiniType>(
  text: string,
  succeeded: boolean,
  schema: Schema,
): Answer<z.infer<Schema>> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    // A page of some proxy in between, most likely.
    return { ok: false, trouble: 'not-understood' };
  }
  if (!succeeded) {
    return { ok: false, trouble: refusalSchema.safeParse(json).data?.refused ?? 'not-understood' };
  }
  const parsed = schema.safeParse(json);
  return parsed.success ? { ok: true, value: parsed.data } : { ok: false, trouble: 'not-understood' };
}

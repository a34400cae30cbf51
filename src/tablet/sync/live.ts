/**
 * The server's live stream (server-sent events, HTML standard section 9.2), read from a fetch so that the key goes
 * in a header. It carries no records: whatever it says means only that there is something new to pull. Polling does
 * without it, so nothing depends on it.
 */
import { createParser } from 'eventsource-parser';
import { MINUTE_MS } from '../../domain/instant.ts';
import { backoffMs } from './backoff.ts';

export interface LiveEffects {
  /** Opens the stream; rejects or answers with another status when there is none. */
  readonly connect: (signal: AbortSignal) => Promise<Response>;
  readonly sleep: (ms: number, signal: AbortSignal) => Promise<void>;
  readonly random: () => number;
  readonly onNews: () => void;
  /** Whether the stream stands. */
  readonly onUp: (up: boolean) => void;
}

/** The server says something, if only a comment, at least every 20 seconds. */
export const SILENCE_MS = 45_000;
/** A server that refuses the stream, or has none, is asked again so seldom. */
export const REFUSED_MS = 5 * MINUTE_MS;
const EVENT_CHARACTERS_MAX = 64 * 1024;

/** Listens until `signal` is aborted, and connects again whenever the stream ends. */
export async function listenLive(effects: LiveEffects, signal: AbortSignal): Promise<void> {
  let failures = 0;
  while (!signal.aborted) {
    const outcome = await listenOnce(effects, signal);
    if (signal.aborted) return;
    failures = outcome === 'stood' ? 1 : failures + 1;
    const ms = outcome === 'refused' ? REFUSED_MS : backoffMs(failures, effects.random());
    await effects.sleep(ms, signal);
  }
}

async function listenOnce(
  { connect, sleep, onNews, onUp }: LiveEffects,
  signal: AbortSignal,
): Promise<'stood' | 'failed' | 'refused'> {
  const ended = new AbortController();
  const end = () => ended.abort();
  signal.addEventListener('abort', end);
  let stood = false;
  try {
    const response = await connect(ended.signal);
    const isStream = /^text\/event-stream\b/i.test(response.headers.get('content-type') ?? '');
    if (response.status >= 400 && response.status < 500) return 'refused';
    if (response.status !== 200 || !isStream || response.body === null) return 'failed';
    const onHeard = () => {
      stood = true;
      onUp(true);
      // What happened while nobody listened is asked for at once.
      onNews();
    };
    await readEvents(response.body, { sleep, onNews, onHeard, signal: ended.signal });
    return stood ? 'stood' : 'failed';
  } catch {
    // The stream broke off; that is what streams do, and it is opened again.
    return stood ? 'stood' : 'failed';
  } finally {
    ended.abort();
    signal.removeEventListener('abort', end);
    if (stood) onUp(false);
  }
}

interface Reading extends Pick<LiveEffects, 'sleep' | 'onNews'> {
  /** Called once, with the first bytes: a proxy may hand on the head of a stream and hold back all the rest. */
  readonly onHeard: () => void;
  readonly signal: AbortSignal;
}

/** Resolves when the stream ends or has been silent for too long. */
async function readEvents(
  body: ReadableStream<Uint8Array>,
  { sleep, onNews, onHeard, signal }: Reading,
): Promise<void> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  const parser = createParser({ onEvent: onNews, maxBufferSize: EVENT_CHARACTERS_MAX });
  let heardOf = false;
  try {
    while (!signal.aborted) {
      const heard = new AbortController();
      const read = reader.read();
      const silence = sleep(SILENCE_MS, heard.signal).then(() => null);
      const chunk = await Promise.race([read, silence, aborted(signal, heard.signal)]);
      heard.abort();
      if (chunk === null || chunk.done) return;
      if (!heardOf) onHeard();
      heardOf = true;
      parser.feed(decoder.decode(chunk.value, { stream: true }));
    }
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

/** Resolves to null when `signal` is aborted; stops listening when `done` is. */
function aborted(signal: AbortSignal, done: AbortSignal): Promise<null> {
  return new Promise((resolve) =>
    signal.addEventListener('abort', () => resolve(null), { signal: done, once: true }),
  );
}

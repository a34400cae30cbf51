/**
 * GET /api/live: server-sent events (HTML Standard, section 9.2). The event `head` carries the cursor of the newest
 * record and nothing else; whoever hears it pulls. A reader without it misses nothing, only waits longer.
 */
import { type SSEStreamingApi, streamSSE } from 'hono/streaming';
import { cursorAt } from '../../domain/cursor.ts';
import type { Standing } from '../ledger/ledger.ts';
import { faultDetails } from '../log.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { SiteLooks } from '../site-looks.ts';

export function answerLive(parts: ServerParts) {
  const looks = new SiteLooks(parts.ledger);
  return (c: AppContext): Response => {
    // Nobody would read this stream, and it would wait for its reader.
    if (c.req.raw.method === 'HEAD') return c.body(null);
    const response = streamSSE(c, (stream) => follow({ ...parts, looks }, c, stream));
    // Proxies hold a stream back to compress or to fill a buffer unless they are told not to.
    response.headers.set('cache-control', 'no-cache, no-transform');
    response.headers.set('x-accel-buffering', 'no');
    return response;
  };
}

async function follow(
  { announcer, config, log, looks }: ServerParts & { readonly looks: SiteLooks },
  c: AppContext,
  stream: SSEStreamingApi,
): Promise<void> {
  const { site } = c.get('bench');
  let wake: () => void = () => {};
  let over = false;
  let news = true;
  let said = '';

  const unsubscribe = announcer.subscribe(site, {
    news: () => {
      news = true;
      wake();
    },
    stop: () => end(),
  });
  const life = setTimeout(() => end(), config.liveLifeMs);
  // A reader that vanishes is noticed by one of these or by none, and a write to it can wait for ever: so whatever
  // comes first takes everything down by itself, and does not wait for the loop below.
  const end = (): void => {
    over = true;
    unsubscribe();
    clearTimeout(life);
    wake();
  };
  stream.onAbort(end);
  c.req.raw.signal.addEventListener('abort', end);
  if (c.req.raw.signal.aborted) end();

  try {
    while (!over) {
      news = false;
      const standing = await standingFor(looks, c);
      if (standing === null) break;
      const head = cursorAt({ epoch: standing.epoch, pos: standing.head });
      if (head === said) await stream.write(':\n\n');
      else await stream.writeSSE({ event: 'head', data: head });
      said = head;
      if (!news && !over) {
        await new Promise<void>((resolve) => {
          const beat = setTimeout(resolve, config.liveBeatMs);
          wake = () => {
            clearTimeout(beat);
            resolve();
          };
        });
      }
    }
  } catch (fault) {
    log('live-fault', faultDetails(fault));
  } finally {
    end();
  }
}

/** Null once the bench's key is revoked: its stream ends with the next sign of life. */
async function standingFor(looks: SiteLooks, c: AppContext): Promise<Standing | null> {
  const { site, bench } = c.get('bench');
  const { standing, standingBenches } = await looks.look(site, bench);
  return standingBenches.has(bench) ? standing : null;
}

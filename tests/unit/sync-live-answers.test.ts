/** What a tablet makes of each answer to its wish for a live stream, and how long it leaves the server alone then. */
import { describe, expect, test } from 'vitest';
import { listenLive, REFUSED_MS, SILENCE_MS } from '../../src/tablet/sync/live.ts';

const STREAM = 'text/event-stream';

/** Goes through these answers, one a connection, and tells what came of it. */
async function through(...answers: readonly (() => Response)[]) {
  const log: string[] = [];
  const stop = new AbortController();
  const left = [...answers];
  await listenLive(
    {
      async connect() {
        const answer = left.shift();
        if (answer === undefined) throw new TypeError('no more');
        return answer();
      },
      async sleep(ms, signal) {
        if (ms === SILENCE_MS) {
          await new Promise((resolve) => signal.addEventListener('abort', resolve));
          return;
        }
        log.push(`rest ${ms}`);
        if (left.length === 0) stop.abort();
      },
      random: () => 1,
      onNews: () => log.push('news'),
      onUp: (up) => log.push(up ? 'up' : 'down'),
    },
    stop.signal,
  );
  return log;
}

const answer =
  (status: number, type: string | null = STREAM, body: string | null = ': here\n\n') =>
  () =>
    new Response(body, { status, headers: type === null ? {} : { 'content-type': type } });
/** Nothing was heard: the loop asks by itself. */
const notUp = (restMs: number) => [`rest ${restMs}`];
const UP_AND_DOWN = ['up', 'news', 'down', 'rest 1000'];

describe('an answer that is', () => {
  test.each([
    ['a stream', answer(200), UP_AND_DOWN],
    ['a stream that says how it is written', answer(200, 'Text/Event-Stream; charset=utf-8'), UP_AND_DOWN],
    ['a page', answer(200, 'text/html'), notUp(1000)],
    ['of a type that only begins alike', answer(200, 'text/event-streams'), notUp(1000)],
    ['of a type that only ends alike', answer(200, 'application/x-text/event-stream'), notUp(1000)],
    ['of no type', answer(200, null), notUp(1000)],
    ['empty', answer(200, STREAM, null), notUp(1000)],
    // A proxy may hand on the head alone.
    ['the head of a stream that ends before it says anything', answer(200, STREAM, ''), notUp(1000)],
    ['another success', answer(201), notUp(1000)],
    ['a refusal, 400', answer(400), notUp(REFUSED_MS)],
    ['a refusal, 499', answer(499), notUp(REFUSED_MS)],
    ['a refusal with a page', answer(404, 'text/html'), notUp(REFUSED_MS)],
    ['a fault, 500', answer(500), notUp(1000)],
  ])('%s', async (_, answering, came) => {
    expect(await through(answering)).toEqual(came);
  });
});

test('waits double while there is no stream, and begin anew once one stood', async () => {
  const none = answer(502);
  const log = await through(none, none, none, answer(200), none, none);
  expect(log.filter((line) => line.startsWith('rest'))).toEqual(
    [1000, 2000, 4000, 1000, 2000, 4000].map((ms) => `rest ${ms}`),
  );
});

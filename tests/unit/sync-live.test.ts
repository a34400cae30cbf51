/** The live stream: events only wake, silence and breaks are mended, and nothing is trusted to last. */
import { expect, test } from 'vitest';
import { type LiveEffects, listenLive, REFUSED_MS, SILENCE_MS } from '../../src/tablet/sync/live.ts';

/** One connection that the test writes to. */
function stream() {
  let writer: ReadableStreamDefaultController<Uint8Array> | null = null;
  let cancelled = false;
  const body = new ReadableStream<Uint8Array>({
    start(controller) {
      writer = controller;
    },
    cancel() {
      cancelled = true;
    },
  });
  return {
    response: new Response(body, { headers: { 'content-type': 'text/event-stream' } }),
    say: (text: string) => writer?.enqueue(new TextEncoder().encode(text)),
    end: () => writer?.close(),
    breakOff: () => writer?.error(new TypeError('network')),
    wasCancelled: () => cancelled,
  };
}

/** Runs the listener over the connections given, one after the other, until the last has ended. */
function listening(
  connections: readonly (() => Response | Promise<Response>)[],
  told: Partial<LiveEffects> = {},
) {
  const log: string[] = [];
  const stopping = new AbortController();
  let next = 0;
  const done = listenLive(
    {
      async connect() {
        const connection = connections[next];
        next += 1;
        if (connection === undefined) {
          stopping.abort();
          throw new TypeError('no more');
        }
        log.push('connect');
        return connection();
      },
      async sleep(ms, signal) {
        // Silence is what the test makes it; a rest between connections is over at once.
        if (ms !== SILENCE_MS) log.push(`rest ${ms}`);
        else await new Promise((resolve) => signal.addEventListener('abort', resolve));
      },
      random: () => 1,
      onNews: () => log.push('news'),
      onUp: (up) => log.push(up ? 'up' : 'down'),
      ...told,
    },
    stopping.signal,
  );
  return { log, done, stopping };
}

const tick = () => new Promise((resolve) => setTimeout(resolve, 5));

test('an event means news, a comment means nothing, and the text may come in any pieces', async () => {
  const line = stream();
  const { log, done } = listening([() => line.response]);
  await tick();
  line.say(': still here\n\n');
  line.say('event: head\nda');
  await tick();
  expect(log).toEqual(['connect', 'up', 'news']);
  line.say('ta: 0a1b2c3d.17\n');
  line.say('\n');
  await tick();
  expect(log).toEqual(['connect', 'up', 'news', 'news']);
  line.end();
  await done;
  expect(log.slice(4)).toEqual(['down', 'rest 1000']);
});

test('a stream that ends or breaks off is opened again, and news is asked for each time', async () => {
  const [first, second] = [stream(), stream()];
  const { log, done } = listening([() => first.response, () => second.response]);
  await tick();
  first.say(':\n\n');
  await tick();
  first.breakOff();
  await tick();
  second.say(':\n\n');
  second.end();
  await done;
  expect(log).toEqual([
    'connect',
    'up',
    'news',
    'down',
    'rest 1000',
    'connect',
    'up',
    'news',
    'down',
    'rest 1000',
  ]);
});

test('a stream that has gone silent is given up and opened again', async () => {
  const line = stream();
  let silence: () => void = () => undefined;
  const { log, done } = listening([() => line.response], {
    sleep: (ms) =>
      new Promise((resolve) => {
        if (ms === SILENCE_MS) silence = resolve;
        else resolve();
      }),
  });
  await tick();
  line.say(': here\n');
  await tick();
  silence();
  await done;
  expect(log).toEqual(['connect', 'up', 'news', 'down']);
  expect(line.wasCancelled()).toBe(true);
});

test('a stream of which nothing but its head arrives does not stand, and is asked for ever less often', async () => {
  const [first, second] = [stream(), stream()];
  const { log, done } = listening([() => first.response, () => second.response]);
  await tick();
  first.end();
  await tick();
  second.end();
  await done;
  expect(log).toEqual(['connect', 'rest 1000', 'connect', 'rest 2000']);
});

test('where nobody answers the waits grow; a page of somebody else is no stream', async () => {
  const html = () => new Response('<!doctype html>', { headers: { 'content-type': 'text/html' } });
  const nobody = () => Promise.reject(new TypeError('network'));
  const { log, done } = listening([nobody, html, nobody]);
  await done;
  expect(log).toEqual(['connect', 'rest 1000', 'connect', 'rest 2000', 'connect', 'rest 4000']);
});

test('a server that refuses the stream is left alone for a while', async () => {
  const { log, done } = listening([() => new Response('', { status: 401 })]);
  await done;
  expect(log).toEqual(['connect', `rest ${REFUSED_MS}`]);
});

test('an endless event is not gathered without bound', async () => {
  const line = stream();
  const { log, done } = listening([() => line.response]);
  await tick();
  line.say(`data: ${'x'.repeat(70_000)}`);
  await tick();
  line.say('more');
  await done;
  expect(log).toEqual(['connect', 'up', 'news', 'down', 'rest 1000']);
});

test('stopping ends it at once, in the middle of a stream', async () => {
  const line = stream();
  const { log, done, stopping } = listening([() => line.response]);
  await tick();
  line.say(':\n\n');
  await tick();
  stopping.abort();
  await done;
  expect(log).toEqual(['connect', 'up', 'news', 'down']);
  expect(line.wasCancelled()).toBe(true);
});

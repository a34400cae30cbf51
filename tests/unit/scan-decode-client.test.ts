import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import {
  ANSWER_MS_MAX,
  type DecodeClient,
  openDecodeClient,
  WORKERS_MAX,
  type WorkerEnd,
} from '../../src/tablet/scan/decode-client.ts';
import type { FromWorker, Look } from '../../src/tablet/scan/look.ts';

const LOOK: Look = { readings: [{ text: 'P7K4292W', symbol: 'qr' }], print: 1 };

/** The worker's end of the contract in `look.ts`, played by the test. */
class PlayedWorker implements WorkerEnd {
  onmessage: WorkerEnd['onmessage'] = null;
  onerror: WorkerEnd['onerror'] = null;
  ended = false;
  readonly given: unknown[] = [];
  postMessage(message: unknown): void {
    this.given.push(message);
  }
  terminate(): void {
    this.ended = true;
  }
  says(data: FromWorker): void {
    this.onmessage?.call(this as unknown as Worker, { data } as MessageEvent);
  }
  breaks(): void {
    this.onerror?.call(this as unknown as Worker, {} as ErrorEvent);
  }
}

class Picture {
  closed = false;
  close(): void {
    this.closed = true;
  }
}
const picture = () => new Picture() as Picture & ImageBitmap;

let workers: PlayedWorker[];
let decoders: (string | null)[];
const worker = (index: number): PlayedWorker => {
  const found = workers[index];
  if (found === undefined) throw new Error(`no worker ${index} was made`);
  return found;
};

function open(options: { workers?: boolean; page?: 'reads' | 'fails' } = {}): DecodeClient {
  return openDecodeClient({
    onDecoder: (name) => decoders.push(name),
    makeWorker: () => {
      if (options.workers === false) return null;
      workers.push(new PlayedWorker());
      return workers.at(-1) ?? null;
    },
    loadPageDecoder: async () => {
      if (options.page === 'fails') throw new Error('did not load');
      return {
        PAGE_DECODER: 'page',
        lookOnPage: (given: ImageBitmap) => {
          given.close();
          return LOOK;
        },
      };
    },
  });
}

beforeEach(() => {
  vi.useFakeTimers();
  workers = [];
  decoders = [];
});
afterEach(() => vi.useRealTimers());

describe('with a worker', () => {
  test('a picture given before the decoder has started is let go and closed', async () => {
    const client = open();
    const early = picture();
    expect(await client.look(early)).toBeNull();
    expect(early.closed).toBe(true);
    expect(worker(0).given).toEqual([]);
  });

  test('one picture is in flight, the next is let go, the one after the answer is taken', async () => {
    const client = open();
    worker(0).says({ kind: 'started', decoder: 'wasm' });
    const first = client.look(picture());
    expect(client.busy).toBe(true);
    const second = picture();
    expect(await client.look(second)).toBeNull();
    expect(second.closed).toBe(true);
    worker(0).says({ kind: 'looked', look: LOOK });
    expect(await first).toEqual(LOOK);
    void client.look(picture());
    expect(worker(0).given).toHaveLength(2);
  });

  test('another decoder that takes over is told of', () => {
    const client = open();
    worker(0).says({ kind: 'started', decoder: 'wasm' });
    worker(0).says({ kind: 'started', decoder: 'js' });
    expect(decoders).toEqual(['wasm', 'js']);
    expect(client.decoder).toBe('js');
  });

  test('a worker that does not answer is ended and replaced, and the picture counts as let go', async () => {
    const client = open();
    worker(0).says({ kind: 'started', decoder: 'wasm' });
    const look = client.look(picture());
    vi.advanceTimersByTime(ANSWER_MS_MAX);
    expect(await look).toBeNull();
    expect(worker(0).ended).toBe(true);
    worker(1).says({ kind: 'started', decoder: 'wasm' });
    expect(client.busy).toBe(false);
  });

  test('after two broken workers the page decodes, at its own pace', async () => {
    const client = open();
    for (let index = 0; index < WORKERS_MAX; index += 1) worker(index).breaks();
    await vi.advanceTimersByTimeAsync(0);
    expect(workers).toHaveLength(WORKERS_MAX);
    expect(decoders).toEqual(['page']);
    expect(await client.look(picture())).toEqual(LOOK);
    expect(client.busy).toBe(true);
    expect(await client.look(picture())).toBeNull();
    vi.advanceTimersByTime(500);
    expect(await client.look(picture())).toEqual(LOOK);
  });

  test('a worker that says it cannot is replaced like one that breaks', () => {
    open();
    worker(0).says({ kind: 'failed', reason: 'no canvas in the worker' });
    expect(worker(0).ended).toBe(true);
    expect(workers).toHaveLength(2);
  });

  test('closing ends the worker and answers the look in flight', async () => {
    const client = open();
    worker(0).says({ kind: 'started', decoder: 'wasm' });
    const look = client.look(picture());
    client.close();
    expect(await look).toBeNull();
    expect(worker(0).ended).toBe(true);
    expect(workers).toHaveLength(1);
    expect(await client.look(picture())).toBeNull();
  });
});

test('where there are no workers the page decodes', async () => {
  const client = open({ workers: false });
  await vi.advanceTimersByTimeAsync(0);
  expect(await client.look(picture())).toEqual(LOOK);
});

test('where nothing can decode, that is said and every picture is let go', async () => {
  const client = open({ workers: false, page: 'fails' });
  await vi.advanceTimersByTimeAsync(0);
  expect(decoders).toEqual([null]);
  const given = picture();
  expect(await client.look(given)).toBeNull();
  expect(given.closed).toBe(true);
});

/**
 * The page's end of decoding.
 *
 * 1. One picture is in flight at most; one that comes meanwhile is let go at once, never queued.
 * 2. Every picture given is closed, whatever happens.
 * 3. A worker that fails, or that has not answered for `ANSWER_MS_MAX`, is ended and started afresh; after
 *    `WORKERS_MAX` of them decoding goes on, slowly, on the page.
 */
import type { FromWorker, Look, ToWorker } from './look.ts';

export const ANSWER_MS_MAX = 10_000;
export const WORKERS_MAX = 2;
/** On the page a look costs a visible hitch; two a second leave the page usable. */
const PAGE_PACE_MS = 500;

export interface DecodeClient {
  /** Which decoder is at work, for diagnostics; null while it starts. */
  readonly decoder: string | null;
  /** Whether a picture given now would be let go: ask before making one. */
  readonly busy: boolean;
  /** What the picture says, or null where it was let go. Takes the picture over and closes it. */
  look(picture: ImageBitmap): Promise<Look | null>;
  /** Ends the worker. A look in flight is answered with null. */
  close(): void;
}

/** As much of a `Worker` as is used here. */
export type WorkerEnd = Pick<Worker, 'postMessage' | 'terminate' | 'onmessage' | 'onerror'>;

export interface DecodeClientOptions {
  /** Told when a decoder has started, when another one had to take over, and null when none can run here. */
  readonly onDecoder?: (name: string | null) => void;
  /** Makes a worker, or null where there are none. */
  readonly makeWorker?: () => WorkerEnd | null;
  /** Loads the decoder for the page's thread. */
  readonly loadPageDecoder?: () => Promise<{
    readonly PAGE_DECODER: string;
    readonly lookOnPage: (picture: ImageBitmap) => Look;
  }>;
}

export function openDecodeClient(options: DecodeClientOptions = {}): DecodeClient {
  return new Client(options);
}

class Client implements DecodeClient {
  readonly #options: Required<DecodeClientOptions>;
  #worker: WorkerEnd | null = null;
  #workersStarted = 0;
  #lookOnPage: ((picture: ImageBitmap) => Look) | null = null;
  #pageRestsUntil = 0;
  #answer: ((look: Look | null) => void) | null = null;
  #answerDue: ReturnType<typeof setTimeout> | undefined;
  #closed = false;
  decoder: string | null = null;

  constructor(options: DecodeClientOptions) {
    this.#options = {
      onDecoder: options.onDecoder ?? (() => {}),
      makeWorker: options.makeWorker ?? startWorker,
      loadPageDecoder: options.loadPageDecoder ?? (() => import('./page-decoder.ts')),
    };
    this.#start();
  }

  get busy(): boolean {
    if (this.decoder === null || this.#answer !== null) return true;
    return this.#lookOnPage !== null && performance.now() < this.#pageRestsUntil;
  }

  look(picture: ImageBitmap): Promise<Look | null> {
    if (this.busy) {
      picture.close();
      return Promise.resolve(null);
    }
    const worker = this.#worker;
    if (worker === null) return Promise.resolve(this.#onPage(picture));
    return new Promise((resolve) => {
      this.#answer = resolve;
      this.#answerDue = setTimeout(() => this.#replaceWorker(), ANSWER_MS_MAX);
      const message: ToWorker = { kind: 'look', picture };
      worker.postMessage(message, [picture]);
    });
  }

  close(): void {
    this.#closed = true;
    this.#endWorker();
    this.#lookOnPage = null;
    this.#answered(null);
  }

  #start(): void {
    const worker = this.#workersStarted < WORKERS_MAX ? this.#options.makeWorker() : null;
    if (worker === null) {
      void this.#startOnPage();
      return;
    }
    this.#workersStarted += 1;
    this.#worker = worker;
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => this.#hear(data);
    worker.onerror = () => this.#replaceWorker();
  }

  #hear(message: FromWorker): void {
    switch (message.kind) {
      case 'started':
        this.#began(message.decoder);
        return;
      case 'looked':
        this.#answered(message.look);
        return;
      case 'failed':
        this.#replaceWorker();
    }
  }

  #began(decoder: string): void {
    if (this.#closed) return;
    this.decoder = decoder;
    this.#options.onDecoder(decoder);
  }

  #answered(look: Look | null): void {
    clearTimeout(this.#answerDue);
    const answer = this.#answer;
    this.#answer = null;
    answer?.(look);
  }

  #replaceWorker(): void {
    this.#endWorker();
    this.#answered(null);
    if (!this.#closed) this.#start();
  }

  #endWorker(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.decoder = null;
  }

  async #startOnPage(): Promise<void> {
    try {
      const { PAGE_DECODER, lookOnPage } = await this.#options.loadPageDecoder();
      if (this.#closed) return;
      this.#lookOnPage = lookOnPage;
      this.#began(PAGE_DECODER);
    } catch {
      // `decoder` stays null: every picture is let go, and the wedge and the keypad remain.
      if (!this.#closed) this.#options.onDecoder(null);
    }
  }

  #onPage(picture: ImageBitmap): Look | null {
    const look = this.#lookOnPage?.(picture) ?? null;
    this.#pageRestsUntil = performance.now() + PAGE_PACE_MS;
    return look;
  }
}

function startWorker(): WorkerEnd | null {
  if (typeof Worker === 'undefined' || typeof OffscreenCanvas === 'undefined') return null;
  return new Worker(new URL('./decode.worker.ts', import.meta.url), { type: 'module' });
}

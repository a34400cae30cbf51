/**
 * Hears what a browser tells and outlives it: an HTTP server of the test's own process. What has not arrived when the
 * browser is killed was never said.
 */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Held } from './held.ts';

export class Witness {
  readonly #server = createServer((request, response) => void this.#hear(request, response));
  #begun: ServerResponse | null = null;
  #onHeld: ((held: Held) => void) | null = null;
  #onMade: (() => void) | null = null;
  #onFailed: ((cause: Error) => void) | null = null;

  /** JSON of each record that was said to be made, by its id. */
  readonly acknowledged = new Map<string, string>();
  /** The lowest number that a record has got since the round began. */
  firstSeq = Infinity;

  /** @returns where the page tells things */
  async listen(): Promise<string> {
    await new Promise<void>((resolve) => this.#server.listen(0, '127.0.0.1', resolve));
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}/`;
  }

  close(): void {
    this.#server.closeAllConnections();
    this.#server.close();
  }

  /** What the browser that is started next finds in its store. It waits with its first record for `letGo`. */
  nextHeld(): Promise<Held> {
    this.firstSeq = Infinity;
    return new Promise((resolve, reject) => {
      this.#onHeld = resolve;
      this.#onFailed = reject;
    });
  }

  /** Resolves with the first record after it. */
  letGo(): Promise<void> {
    const made = new Promise<void>((resolve, reject) => {
      this.#onMade = resolve;
      this.#onFailed = reject;
    });
    this.#begun?.end();
    return made;
  }

  async #hear(request: IncomingMessage, response: ServerResponse): Promise<void> {
    response.setHeader('access-control-allow-origin', '*');
    const body = await textOf(request);
    // Cut off in the middle by the kill.
    if (body === null) return;
    if (request.url === '/begin') return this.#begin(body, response);
    response.end();
    if (request.url === '/failed') this.#onFailed?.(new Error(`the page could not record: ${body}`));
    else if (request.url === '/made') this.#made(body);
  }

  #begin(body: string, response: ServerResponse): void {
    this.#begun = response;
    this.#onHeld?.(JSON.parse(body));
  }

  #made(lines: string): void {
    for (const line of lines.split('\n')) {
      const { id, seq }: { id: string; seq: number } = JSON.parse(line);
      this.acknowledged.set(id, line);
      this.firstSeq = Math.min(seq, this.firstSeq);
    }
    this.#onMade?.();
  }
}

async function textOf(request: IncomingMessage): Promise<string | null> {
  const pieces: Buffer[] = [];
  try {
    for await (const piece of request) pieces.push(piece);
  } catch {
    return null;
  }
  return Buffer.concat(pieces).toString('utf8');
}

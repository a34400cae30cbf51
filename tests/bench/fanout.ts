/** One bench records something: how soon 200 others have it. */
import { randomBytes } from 'node:crypto';
import { mkdtempSync } from 'node:fs';
import { join } from 'node:path';
import { createParser } from 'eventsource-parser';
import { codeHash } from '../../src/domain/code-hash.ts';
import { cursorSchema } from '../../src/domain/cursor.ts';
import { asBenchId, type BenchId, type Cursor } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { handAt, SITE, WLT } from '../support/builders.ts';
import { startServer } from '../support/server-process.ts';
import { type Figure, quantile, round } from './figure.ts';

const TABLETS = 200;
const ROUNDS = 30;
const WARM_UP = 3;
const PAUSE_MS = 300;
const PATIENCE_MS = 30_000;

export async function fanout(folder: string): Promise<Figure> {
  const data = mkdtempSync(join(folder, 'fanout-'));
  const server = await startServer({ environment: { WAXEND_DATA: data } });
  const ending = new AbortController();
  try {
    const ledger = await openSqliteLedger(join(data, 'ledger.sqlite'));
    const writer = await enrolled(ledger);
    const listeners: Listener[] = [];
    for (let number = 0; number < TABLETS; number += 1)
      listeners.push(new Listener(server.url, (await enrolled(ledger)).authorization));
    await ledger.close();
    await Promise.all(listeners.map((listener) => listener.open(ending.signal)));

    const hand = handAt(writer.bench);
    const [delays, plain]: [number[], number[]] = [[], []];
    for (let run = -WARM_UP; run < ROUNDS; run += 1) {
      const record = hand.write('clocked-in');
      const heard = listeners.map((listener) => listener.has(record.id));
      const from = performance.now();
      const pushed = await fetch(`${server.url}/api/push`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', authorization: writer.authorization },
        body: JSON.stringify({ records: [record] }),
      });
      if (pushed.status !== 200) throw new Error(`the record was not taken: ${await pushed.text()}`);
      const times = await Promise.all(heard);
      if (run >= 0) delays.push(...times.map((at) => at - from));
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
      const plainMs = await healthMs(server.url);
      if (run >= 0) plain.push(...plainMs);
    }
    return {
      unit: 'ms',
      values: { p50_ms: round(quantile(delays, 0.5)), p99_ms: round(quantile(delays, 0.99)) },
      budget: { p99_ms: 250 },
      baseline: {
        is: `the server’s plainest answer, asked for ${TABLETS} times at once`,
        values: { p50_ms: round(quantile(plain, 0.5)), p99_ms: round(quantile(plain, 0.99)) },
      },
      runs: delays.length,
      how:
        `From sending one record until each of ${TABLETS} listening tablets has been told and has pulled it, over HTTP; ` +
        `${ROUNDS} records one after the other; all of the tablets are one process on the server’s machine.`,
    };
  } finally {
    ending.abort();
    await server.end('SIGKILL');
  }
}

/** A tablet as far as news goes: it listens, and pulls when it is told. */
class Listener {
  readonly #url: string;
  readonly #headers: { readonly authorization: string };
  readonly #waits = new Map<string, (at: number) => void>();
  #cursor: Cursor = cursorSchema.parse('');
  #pulling = false;
  #again = false;

  constructor(url: string, authorization: string) {
    this.#url = url;
    this.#headers = { authorization };
  }

  /** Resolves when the stream stands and everything so far has been pulled. */
  async open(signal: AbortSignal): Promise<void> {
    const response = await fetch(`${this.#url}/api/live`, { headers: this.#headers, signal });
    if (response.status !== 200 || response.body === null) throw new Error(`no stream: ${response.status}`);
    const parser = createParser({ onEvent: () => void this.#pull() });
    void this.#read(response.body, (text) => parser.feed(text));
    await this.#pull();
  }

  /** When the record with this id has been pulled, by `performance.now`. */
  has(id: string): Promise<number> {
    return new Promise((resolve, reject) => {
      const late = setTimeout(() => reject(new Error(`${id} was not heard of`)), PATIENCE_MS);
      this.#waits.set(id, (at) => {
        clearTimeout(late);
        this.#waits.delete(id);
        resolve(at);
      });
    });
  }

  async #read(body: ReadableStream<Uint8Array>, feed: (text: string) => void): Promise<void> {
    const decoder = new TextDecoder();
    try {
      const reader = body.getReader();
      for (let read = await reader.read(); !read.done; read = await reader.read())
        feed(decoder.decode(read.value, { stream: true }));
    } catch {
      // The measurement is over, and the stream with it.
    }
  }

  /** One request at a time, as the sync loop asks. */
  async #pull(): Promise<void> {
    this.#again = true;
    if (this.#pulling) return;
    this.#pulling = true;
    while (this.#again) {
      this.#again = false;
      const query = new URLSearchParams({ after: this.#cursor });
      const response = await fetch(`${this.#url}/api/pull?${query}`, { headers: this.#headers });
      const { records, cursor } = pullAnswerSchema.parse(await response.json());
      const at = performance.now();
      this.#cursor = cursor;
      for (const { record } of records) this.#waits.get((record as { readonly id: string }).id)?.(at);
    }
    this.#pulling = false;
  }
}

/** Straight into the ledger: the server gives no two hundred set-up codes a minute to one address. */
async function enrolled(
  ledger: ServerLedger,
): Promise<{ readonly bench: BenchId; readonly authorization: string }> {
  const [token, key] = [randomBytes(8).toString('hex'), randomBytes(32).toString('hex')];
  const bench = asBenchId(`b-${randomBytes(8).toString('hex')}`);
  const now = Date.now();
  const code = { hash: codeHash(token), name: 'Bench', place: 'bench' as const, stages: [WLT], uses: 1 };
  await ledger.addSetUpCode(SITE, { ...code, until: now + DAY_MS });
  const outcome = await ledger.enrol({
    codeHash: codeHash(token),
    keyHash: codeHash(key),
    bench,
    persisted: true,
    now,
  });
  if (outcome.is !== 'enrolled') throw new Error(`the tablet was not enrolled: ${outcome.is}`);
  return { bench, authorization: `Bearer ${key}` };
}

async function healthMs(url: string): Promise<readonly number[]> {
  const from = performance.now();
  return Promise.all(
    Array.from({ length: TABLETS }, async () => {
      await (await fetch(`${url}/api/health`)).text();
      return performance.now() - from;
    }),
  );
}

/**
 * A tablet under load: sends batches of its own records over HTTP, one after the other, and sends a batch again until
 * each record in it is confirmed, as the sync loop does. It keeps its own account of what it made and what it was told.
 */
import { setTimeout as pause } from 'node:timers/promises';
import type { Prng } from '../../demo-data/prng.ts';
import type { BenchId, RecordId } from '../../src/domain/ids.ts';
import { pushAnswerSchema } from '../../src/wire/push.ts';
import { type Hand, handAt } from '../support/builders.ts';
import { fingerprint } from './fingerprint.ts';

const BATCH_MAX = 24;
const AGAIN_MS = 40;
const KINDS = ['badged-on', 'clocked-in', 'noted', 'clocked-out', 'set-aside'] as const;

export interface Tablet {
  readonly bench: BenchId;
  readonly authorization: string;
}

export class Pusher {
  readonly #tablet: Tablet;
  readonly #hand: Hand;
  readonly #chance: Prng;
  readonly #address: () => string;
  #stopped = false;
  #running: Promise<void> | null = null;

  /** Fingerprint of every record that was sent at least once. */
  readonly made = new Map<RecordId, string>();
  readonly acknowledged = new Set<RecordId>();
  /** Answers that the server gave for its own faults: they confirm nothing. */
  serverFaults = 0;
  /** Requests that ended without an answer: whether they were carried out is not known. */
  unanswered = 0;

  /** @param address where a server listens just now */
  constructor(tablet: Tablet, chance: Prng, address: () => string) {
    this.#tablet = tablet;
    this.#hand = handAt(tablet.bench);
    this.#chance = chance;
    this.#address = address;
  }

  start(): void {
    this.#stopped = false;
    this.#running = this.#run();
  }

  /** Resolves when the batch under way is confirmed. */
  async stop(): Promise<void> {
    this.#stopped = true;
    await this.#running;
  }

  /** Sends one batch, once. False where it was not confirmed, and then it stays to be sent. */
  async send(records: readonly { readonly id: RecordId }[]): Promise<boolean> {
    for (const record of records) this.made.set(record.id, fingerprint(JSON.stringify(record)));
    let response: Response;
    let body: unknown;
    try {
      response = await fetch(`${this.#address()}/api/push`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', authorization: this.#tablet.authorization },
        body: JSON.stringify({ records }),
        signal: AbortSignal.timeout(20_000),
      });
      body = await response.json();
    } catch {
      this.unanswered += 1;
      return false;
    }
    if (response.status >= 500) {
      this.serverFaults += 1;
      return false;
    }
    const { answers } = pushAnswerSchema.parse(body);
    for (const { id, answer, reasons } of answers) {
      if (id === null || answer === 'refused') throw new Error(`refused: ${reasons.join(', ')}`);
      this.acknowledged.add(id as RecordId);
    }
    return true;
  }

  batch(size = this.#chance.int(1, BATCH_MAX)) {
    return Array.from({ length: size }, () => this.#hand.write(this.#chance.pick(KINDS)));
  }

  async #run(): Promise<void> {
    while (!this.#stopped) {
      const records = this.batch();
      while (!(await this.send(records))) await pause(AGAIN_MS);
    }
  }
}

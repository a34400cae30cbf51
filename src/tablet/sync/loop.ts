/**
 * The loop that carries records to the server and everybody's back. It owns no time, no network and no chance: they
 * are handed in, so that a test can say what each of them does.
 *
 *                 ┌────────── more was made meanwhile ──────────┐
 *                 ▼                                             │
 *   start ──► meeting ──► pushing ──► pulling ──► book ──► (settled) ──► resting
 *                 ▲         │ ▲          │ ▲                               │
 *                 │         └─┘          └─┘            wake, or time ─────┤
 *                 │      next batch    next page                           │
 *                 ├────────────────────────────────────────────────────────┤
 *                 ├──── backing off ◄── no answer, busy, fault             │
 *                 ├──── paused ◄─────── 401, 403: kept, tried again later ─┘
 *               stopped ◄──────────── another body of data answers
 *
 * 1. Nothing is sent before the server has said, in this contact, that it holds our body of data (*meeting*).
 * 2. A record leaves the outbox by the server's word for its id, never because a request came back with 200.
 * 3. Rows and the cursor that they lead to are the ledger's one transaction; a lost answer is asked for again.
 * 4. A batch on which the server fails is halved until the record is found, and that one is passed over.
 * 5. One request is under way at a time.
 * 6. Where the server hands out parts, a new tablet reads a snapshot and pulls on from there, and a pair that is told of
 *    and not held is asked for whole before the page that tells of it is written.
 */
import { believedOffset } from '../../domain/clock-offset.ts';
import { MINUTE_MS } from '../../domain/instant.ts';
import { LedgerFailure } from '../ledger/ledger.ts';
import { backoffMs } from './backoff.ts';
import { Contact } from './contact.ts';
import type { SyncEffects } from './effects.ts';
import { type End, FAULT } from './ends.ts';
import { Receiving } from './receiving.ts';
import { Resting, type WakeReason } from './resting.ts';
import { Sending } from './sending.ts';
import { STATUS_AT_START, type SyncStatus } from './status.ts';

/** Polling alone must do where there is no live stream. */
export const POLL_MS = 15_000;
export const POLL_BESIDE_LIVE_MS = MINUTE_MS;
/** A tablet that the server would not have asks again so often. */
export const PAUSE_MS = 5 * MINUTE_MS;
export class SyncLoop {
  readonly #effects: SyncEffects;
  readonly #listeners = new Set<(status: SyncStatus) => void>();
  readonly #resting: Resting;
  readonly #contact: Contact;
  readonly #sending: Sending;
  readonly #receiving: Receiving;
  #status: SyncStatus;
  #failures = 0;
  #waitingWhenResting = 0;

  constructor(effects: SyncEffects) {
    this.#effects = effects;
    this.#resting = new Resting(effects.sleep);
    const show = (change: Partial<SyncStatus>) => this.#show(change);
    const contact = new Contact(effects, show);
    const onSent = () => {
      this.#failures = 0;
    };
    this.#contact = contact;
    this.#sending = new Sending({ effects, contact, show, onSent });
    this.#receiving = new Receiving(effects, contact, () => this.wake('record'));
    this.#status = { ...STATUS_AT_START, clockOffset: believedOffset(effects.clock.samples()) };
  }

  get status(): SyncStatus {
    return this.#status;
  }

  watch(onStatus: (status: SyncStatus) => void): () => void {
    this.#listeners.add(onStatus);
    return () => this.#listeners.delete(onStatus);
  }

  /** Goes at once where it would rest. A server that asked for time, or would not have us, is not pressed. */
  wake(reason: WakeReason): void {
    this.#resting.wake(reason);
  }

  /** Runs until `signal` is aborted, or until another body of data answers. */
  async run(signal: AbortSignal): Promise<void> {
    const unwatch = this.#effects.ledger.watch(() => void this.#noticeRecords());
    try {
      while (!signal.aborted) {
        this.#resting.over();
        const end = await this.#roundOrTrouble(signal);
        if (signal.aborted) return;
        if (end.is === 'stopped') return this.#show({ server: { is: 'stopped', why: 'other-dataset' } });
        await this.#restAfter(end, signal);
      }
    } finally {
      unwatch();
    }
  }

  async #restAfter(end: Exclude<End, { is: 'stopped' }>, signal: AbortSignal): Promise<void> {
    const { random, restMs } = this.#effects;
    const needless = async () => {
      this.#waitingWhenResting = await this.#countWaiting();
      // A record made as the round ended is reason to go on at once.
      return end.is === 'settled' && this.#sending.anyNow();
    };
    if (end.is === 'settled') {
      this.#failures = 0;
      this.#show({ server: { is: 'reached' }, ledger: null });
      return this.#resting.rest({ ms: restMs(), mayWake: () => true, needless }, signal);
    }
    if (end.is === 'paused') {
      this.#contact.met = false;
      this.#show({ server: { is: 'paused', why: end.why } });
      const mayWake = (reason: WakeReason) => reason !== 'record' && reason !== 'live';
      return this.#resting.rest({ ms: PAUSE_MS, mayWake, needless }, signal);
    }
    this.#failures += 1;
    this.#show({ server: end.server });
    const asked = end.retryAfterMs;
    const ms = (asked ?? 0) + backoffMs(asked === null ? this.#failures : 1, random());
    const mayWake = (reason: WakeReason) => asked === null || reason === 'asked';
    return this.#resting.rest({ ms, mayWake, needless }, signal);
  }

  /** A record was made here or in another window; the loop's own writes are told too and wake nobody. */
  async #noticeRecords(): Promise<void> {
    if (!this.#resting.now) return;
    const waiting = await this.#countWaiting();
    if (waiting > this.#waitingWhenResting && this.#resting.now) this.#resting.wake('record');
    this.#waitingWhenResting = waiting;
  }

  async #countWaiting(): Promise<number> {
    try {
      return (await this.#effects.ledger.outbox()).waiting;
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      return this.#waitingWhenResting;
    }
  }

  async #roundOrTrouble(signal: AbortSignal): Promise<End> {
    try {
      return await this.#round(signal);
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      this.#show({ ledger: cause.trouble });
      return { is: 'failed', server: this.#status.server, retryAfterMs: null };
    }
  }

  async #round(signal: AbortSignal): Promise<End> {
    this.#contact.begin(await this.#effects.ledger.settings());
    if (!this.#contact.met) {
      const end = await this.#receiving.nextPage(signal);
      if (end.is !== 'settled' && end.is !== 'more') return end;
    }
    const pushed = await this.#sending.push(signal);
    // A server that fails on what it is sent may still have something for us.
    if (pushed.is !== 'settled' && pushed !== FAULT) return pushed;
    const pulled = await this.#receiving.pull(signal);
    if (pulled.is !== 'settled') return pulled;
    return pushed;
  }

  #show(change: Partial<SyncStatus>): void {
    const before = this.#status;
    this.#status = { ...before, heldUp: this.#sending.heldUp, ...change };
    if (JSON.stringify(before) === JSON.stringify(this.#status)) return;
    for (const listener of this.#listeners) listener(this.#status);
  }
}

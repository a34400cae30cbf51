/**
 * Carries the tablet's photographs to the server, one at a time, beside the loop that carries its records. It owns no
 * time, no network and no chance: they are handed in.
 *
 * 1. Records go first: while any wait, a photograph gives way, though not for ever.
 * 2. A photograph is at the server by the server's word for its hash; a lost answer costs sending it again.
 * 3. One on which the server fails is passed over, so that it does not hold up the others.
 * 4. One that the server refuses is kept and counted. Refused as a tablet (401, 403), it pauses and keeps all.
 * 5. When another body of data answers, it stops.
 */
import { MINUTE_MS } from '../../domain/instant.ts';
import { LedgerFailure, type LedgerTrouble, type TabletLedger } from '../ledger/ledger.ts';
import { backoffMs } from '../sync/backoff.ts';
import { Resting, type WakeReason } from '../sync/resting.ts';
import type { PhotoServer, PhotoTrouble } from './photo-server.ts';
import type { PhotoCounts, PhotoStore } from './photo-store.ts';

export interface UploadEffects {
  readonly photos: PhotoStore;
  readonly ledger: Pick<TabletLedger, 'outbox' | 'settings' | 'watch'>;
  readonly server: Pick<PhotoServer, 'put'>;
  readonly dataset: string;
  /** Resolves after so many milliseconds, or when the signal is aborted. */
  readonly sleep: (ms: number, signal: AbortSignal) => Promise<void>;
  /** 0 to 1. */
  readonly random: () => number;
}

export interface UploadStatus extends PhotoCounts {
  readonly server: 'not-tried' | 'reached' | 'unreachable' | 'paused' | 'stopped';
  /** Why the tablet's own store could not be used in the last round. */
  readonly store: LedgerTrouble | null;
}

/** A look for what another window has kept without a word. */
export const IDLE_MS = MINUTE_MS;
/** As long as the loop that carries records does: the key is the same. */
export const PAUSE_MS = 5 * MINUTE_MS;
/** How often, and how long each time, a photograph gives way to records. */
export const GIVE_WAY_TIMES = 3;
export const GIVE_WAY_MS = 5_000;
/** A server that fails on so many in a row fails on all: it is left alone for a while. */
export const FAULTS_MAX = 3;
/** How many of those that wait are looked at, so that some can be passed over. */
const LOOK_AT = 200;

type End =
  | { readonly is: 'settled' | 'paused' | 'stopped' }
  | { readonly is: 'failed'; readonly retryAfterMs: number | null };

export class PhotoUploader {
  readonly #effects: UploadEffects;
  readonly #resting: Resting;
  readonly #listeners = new Set<(status: UploadStatus) => void>();
  readonly #passedOver = new Set<string>();
  #status: UploadStatus = { waiting: 0, refused: 0, server: 'not-tried', store: null };
  #failures = 0;
  /** Of the server's ledger that what is here was last compared with. */
  #epoch: string | null = null;

  constructor(effects: UploadEffects) {
    this.#effects = effects;
    this.#resting = new Resting(effects.sleep);
  }

  get status(): UploadStatus {
    return this.#status;
  }

  watch(onStatus: (status: UploadStatus) => void): () => void {
    this.#listeners.add(onStatus);
    return () => this.#listeners.delete(onStatus);
  }

  /** Goes at once where it would rest. A server that asked for time, or would not have us, is not pressed. */
  wake(reason: WakeReason = 'record'): void {
    this.#resting.wake(reason);
  }

  /** Runs until `signal` is aborted, or until another body of data answers. */
  async run(signal: AbortSignal): Promise<void> {
    // A photograph is kept before its record is made: whatever window makes it, this one hears of it.
    const unwatch = this.#effects.ledger.watch(() => this.wake());
    try {
      while (!signal.aborted) {
        this.#resting.over();
        const end = await this.#roundOrTrouble(signal);
        if (end.is === 'stopped' || signal.aborted) return;
        await this.#restAfter(end, signal);
      }
    } finally {
      unwatch();
    }
  }

  async #restAfter(end: End, signal: AbortSignal): Promise<void> {
    const rest = (ms: number, mayWake: (reason: WakeReason) => boolean) =>
      this.#resting.rest({ ms, mayWake, needless: async () => false }, signal);
    if (end.is === 'settled') {
      this.#failures = 0;
      return rest(IDLE_MS, () => true);
    }
    // Records are made all day; they are no reason to try again what has just failed.
    const mayWake = (reason: WakeReason) => reason !== 'record' && reason !== 'live';
    if (end.is !== 'failed') return rest(PAUSE_MS, mayWake);
    this.#failures += 1;
    const asked = end.retryAfterMs;
    const ms = (asked ?? 0) + backoffMs(asked === null ? this.#failures : 1, this.#effects.random());
    return rest(ms, (reason) => (asked === null ? mayWake(reason) : reason === 'asked'));
  }

  async #roundOrTrouble(signal: AbortSignal): Promise<End> {
    try {
      const end = await this.#round(signal);
      this.#show({ ...(await this.#effects.photos.counts()), store: null });
      return end;
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      this.#show({ store: cause.trouble });
      return { is: 'failed', retryAfterMs: null };
    }
  }

  async #round(signal: AbortSignal): Promise<End> {
    await this.#lookWhatTheServerLost();
    let faults = 0;
    while (!signal.aborted) {
      const waiting = await this.#effects.photos.waiting(LOOK_AT);
      const next = waiting.find((photo) => !this.#passedOver.has(photo));
      if (next === undefined) {
        this.#passedOver.clear();
        return waiting.length === 0 ? { is: 'settled' } : { is: 'failed', retryAfterMs: null };
      }
      await this.#giveWay(signal);
      if (signal.aborted) break;
      const end = await this.#send(next, signal);
      if (end !== null) return end;
      faults = this.#passedOver.has(next) ? faults + 1 : 0;
      if (faults >= FAULTS_MAX) return { is: 'failed', retryAfterMs: null };
      this.#show(await this.#effects.photos.counts());
    }
    return { is: 'settled' };
  }

  /** A restored server says so by a new epoch, which the loop that carries records has heard first. */
  async #lookWhatTheServerLost(): Promise<void> {
    const { epoch } = await this.#effects.ledger.settings();
    if (epoch === null || epoch === this.#epoch) return;
    await this.#effects.photos.waitAgain(epoch);
    this.#epoch = epoch;
  }

  async #giveWay(signal: AbortSignal): Promise<void> {
    for (let times = 0; times < GIVE_WAY_TIMES && !signal.aborted; times += 1) {
      if ((await this.#effects.ledger.outbox()).waiting === 0) return;
      await this.#effects.sleep(GIVE_WAY_MS, signal);
    }
  }

  /** @returns how the round ends, or null to go on with the next */
  async #send(photo: string, signal: AbortSignal): Promise<End | null> {
    const { photos, server, dataset } = this.#effects;
    const kept = await photos.get(photo);
    if (kept === null) return null;
    const outcome = await server.put(kept, signal);
    if (outcome.is === 'taken') {
      if (outcome.dataset !== dataset) return this.#ended('stopped', { is: 'stopped' });
      await photos.markAtServer(photo, outcome.epoch);
    } else if (outcome.is === 'refused') {
      await photos.markRefused(photo, outcome.reasons);
    } else {
      return this.#endOf(outcome, photo);
    }
    this.#failures = 0;
    this.#show({ server: 'reached' });
    return null;
  }

  #endOf(trouble: PhotoTrouble, photo: string): End | null {
    switch (trouble.is) {
      case 'fault':
        this.#passedOver.add(photo);
        this.#show({ server: 'unreachable' });
        return null;
      case 'not-allowed':
        return this.#ended('paused', { is: 'paused' });
      case 'busy':
        return this.#ended('unreachable', { is: 'failed', retryAfterMs: trouble.retryAfterMs });
      case 'unreachable':
        return this.#ended('unreachable', { is: 'failed', retryAfterMs: null });
    }
  }

  #ended(server: UploadStatus['server'], end: End): End {
    this.#show({ server });
    return end;
  }

  #show(change: Partial<UploadStatus>): void {
    this.#status = { ...this.#status, ...change };
    for (const listener of this.#listeners) listener(this.#status);
  }
}

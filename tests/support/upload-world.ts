/**
 * A tablet's uploader in a small world without a network: photographs and a ledger in memory, a server that answers
 * as it is told, a time that passes only when told, and a log of what happened.
 */
import type { Draft } from '../../src/domain/record/kinds.ts';
import type { PutOutcome } from '../../src/tablet/photos/photo-server.ts';
import { PhotoUploader } from '../../src/tablet/photos/upload.ts';
import { photoOf } from '../contract/photo-store.ts';
import { handAt, MONDAY_8, WELTING } from './builders.ts';
import { MemoryLedger } from './memory-ledger.ts';
import { MemoryPhotos } from './memory-photos.ts';

export const DATASET = 'dataset-of-aldermoor';
export const TAKEN: PutOutcome = { is: 'taken', dataset: DATASET, epoch: 'epoch-one' };

export class UploadWorld {
  readonly log: string[] = [];
  readonly photos = new MemoryPhotos();
  readonly ledger = new MemoryLedger();
  readonly uploader: PhotoUploader;
  /** What the server says, by the number of the photograph; `TAKEN` where it is told nothing. */
  readonly says = new Map<number, PutOutcome>();
  saysToAll: PutOutcome | null = null;
  /** Done while a photograph is on its way. */
  onTheWay: () => Promise<void> = async () => undefined;
  readonly #stop = new AbortController();
  readonly #hand = handAt(WELTING);
  #running: Promise<void> = Promise.resolve();
  #sleeper: { readonly ms: number; readonly wake: () => void } | null = null;
  #onSleep: () => void = () => undefined;

  constructor() {
    this.uploader = new PhotoUploader({
      photos: this.photos,
      ledger: this.ledger,
      server: {
        put: async ({ photo }) => {
          const number = Number.parseInt(photo, 16);
          this.log.push(`put ${number}`);
          await this.onTheWay();
          return this.saysToAll ?? this.says.get(number) ?? TAKEN;
        },
      },
      dataset: DATASET,
      sleep: (ms, signal) => this.#sleep(ms, signal),
      random: () => 1,
    });
  }

  async take(...numbers: readonly number[]): Promise<void> {
    for (const number of numbers) await this.photos.keep(photoOf(number), MONDAY_8 + number);
  }

  /** Makes a record, which waits in the outbox. */
  async makeRecord(): Promise<void> {
    const { seq: _seq, seen: _seen, ...draft } = this.#hand.write('clocked-in');
    await this.ledger.commit([draft as Draft]);
  }

  async numbersWaiting(): Promise<readonly number[]> {
    return (await this.photos.waiting(100)).map((photo) => Number.parseInt(photo, 16));
  }

  /** Starts the uploader and waits until it rests, or has ended. */
  async start(): Promise<void> {
    const rests = this.#nextSleep();
    this.#running = this.uploader.run(this.#stop.signal);
    await Promise.race([rests, this.#running]);
  }

  async passRest(): Promise<void> {
    const sleeper = this.#sleeper;
    if (sleeper === null) throw new Error('the uploader does not rest');
    const rests = this.#nextSleep();
    sleeper.wake();
    await Promise.race([rests, this.#running]);
  }

  async woken(wakes: () => unknown): Promise<void> {
    const rests = this.#nextSleep();
    await wakes();
    await Promise.race([rests, this.#running]);
  }

  async staysAtRest(wakes: () => unknown): Promise<boolean> {
    const sleeper = this.#sleeper;
    await wakes();
    await new Promise((resolve) => setTimeout(resolve, 20));
    return sleeper !== null && this.#sleeper === sleeper;
  }

  taken(): readonly string[] {
    return this.log.splice(0);
  }

  /** Resolves when the uploader has ended by itself. */
  get ended(): Promise<void> {
    return this.#running;
  }

  async end(): Promise<void> {
    this.#stop.abort();
    await this.#running;
  }

  #sleep(ms: number, signal: AbortSignal): Promise<void> {
    return new Promise((resolve) => {
      const wake = () => {
        this.#sleeper = null;
        resolve();
      };
      this.log.push(`rest ${ms}`);
      this.#sleeper = { ms, wake };
      signal.addEventListener('abort', wake, { once: true });
      if (signal.aborted) wake();
      this.#onSleep();
    });
  }

  #nextSleep(): Promise<void> {
    return new Promise((resolve) => {
      this.#onSleep = resolve;
    });
  }
}

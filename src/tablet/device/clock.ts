/** The tablet's clock: what it says, and how far it is believed to be from the server's. */
import { believedOffset, OFFSET_SAMPLES, type OffsetSample } from '../../domain/clock-offset.ts';
import type { Instant } from '../../domain/instant.ts';

/** What the clock said, the offset to add to it in whole milliseconds, and whether it was ever measured. */
export interface Wall {
  readonly ms: Instant;
  readonly offsetMs: number;
  readonly known: boolean;
}

export class DeviceClock {
  readonly #read: () => number;
  #samples: readonly OffsetSample[] = [];

  /** @param read milliseconds since 1970-01-01T00:00Z by the tablet */
  constructor(read: () => number = Date.now) {
    this.#read = read;
  }

  /** The tablet's own clock, uncorrected. */
  now(): Instant {
    return Math.round(this.#read());
  }

  wall(): Wall {
    const believed = believedOffset(this.#samples);
    return { ms: this.now(), offsetMs: Math.round(believed?.offsetMs ?? 0), known: believed !== null };
  }

  /** The samples that are weighed, oldest first. */
  samples(): readonly OffsetSample[] {
    return this.#samples;
  }

  /** One exchange with the server has been measured. */
  learn(sample: OffsetSample): void {
    this.#samples = [...this.#samples, sample].slice(-OFFSET_SAMPLES);
  }

  /** Takes up what was remembered, or what another window has measured. */
  recall(samples: readonly OffsetSample[]): void {
    this.#samples = samples.slice(-OFFSET_SAMPLES);
  }
}

/** How far this tablet's clock is from the server's, estimated on each exchange (RFC 5905, section 8). */
import type { Instant } from './instant.ts';

/** The four stamps of one exchange: sent and answered by our clock (T1, T4), received and sent by theirs (T2, T3). */
export interface Exchange {
  readonly sentAt: Instant;
  readonly receivedAt: Instant;
  readonly answeredAt: Instant;
  readonly arrivedAt: Instant;
}

/** In whole milliseconds. `offsetMs` is to be added to our clock; it is off by at most half of `delayMs` (and the rounding). */
export interface OffsetSample {
  readonly offsetMs: number;
  readonly delayMs: number;
}

export function sampleOffset({ sentAt, receivedAt, answeredAt, arrivedAt }: Exchange): OffsetSample {
  return {
    // Rounded, since a record's `wall` holds whole milliseconds.
    offsetMs: Math.round((receivedAt - sentAt + (answeredAt - arrivedAt)) / 2),
    delayMs: arrivedAt - sentAt - (answeredAt - receivedAt),
  };
}

/** How many samples are weighed against each other, as RFC 5905's clock filter does (section 10). */
export const OFFSET_SAMPLES = 8;

/**
 * The sample to believe: the one with the shortest delay among the last ones, since waiting in a queue can only
 * lengthen the way. A clock that has stepped shows as samples that cannot agree; then only the newest counts.
 * @param samples oldest first
 */
export function believedOffset(samples: readonly OffsetSample[]): OffsetSample | null {
  const recent = samples.filter(({ delayMs }) => delayMs >= 0).slice(-OFFSET_SAMPLES);
  const newest = recent.at(-1);
  if (newest === undefined) return null;
  const agreeing = recent.filter(
    (sample) => Math.abs(sample.offsetMs - newest.offsetMs) <= (sample.delayMs + newest.delayMs) / 2 + 1,
  );
  return agreeing.reduce((best, sample) => (sample.delayMs <= best.delayMs ? sample : best), newest);
}

/** From here on the tablet's clock is said to be wrong, to the operative and to the supervisor. */
export const CLOCK_DOUBTFUL_MS = 2 * 60_000;

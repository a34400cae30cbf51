import type { Frame } from './decoder.ts';

/** A prime, so that the samples do not fall into one column of the picture. */
const STEP = 1009;

/**
 * A number that changes whenever the picture does: FNV-1a over every 1009th byte. A camera's sensor is never
 * quite still, so the same number for seconds on end means that the stream hangs.
 */
export function framePrint({ data }: Frame): number {
  let hash = 0x811c9dc5;
  for (let at = 0; at < data.length; at += STEP) {
    hash = Math.imul(hash ^ (data[at] ?? 0), 0x01000193);
  }
  return hash >>> 0;
}

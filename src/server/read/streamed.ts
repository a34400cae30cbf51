/** Long answers, sent as they are made and no faster than they are read; one at a time for each key. */
import { setImmediate as breathe } from 'node:timers/promises';
import type { BenchId } from '../../domain/ids.ts';
import { faultDetails, type Log } from '../log.ts';

/** Pieces are small; they go out in pieces of about this many characters. */
const CHUNK_LENGTH = 16_384;

/** Whose export is under way. */
export class OneAtATime {
  readonly #busy = new Map<BenchId, symbol>();

  /** Gives back what ends it, or null where one is under way. Ended twice, it does not end the one that came after it. */
  begin(key: BenchId): (() => void) | null {
    if (this.#busy.has(key)) return null;
    const turn = Symbol(key);
    this.#busy.set(key, turn);
    return () => {
      if (this.#busy.get(key) === turn) this.#busy.delete(key);
    };
  }
}

/**
 * The text as UTF-8. Whoever stops reading stops the making; a fault in the middle cuts the answer off, so that nobody takes
 * a part of it for the whole.
 * @param ended called at least once, however it ends
 */
export function streamed(
  text: AsyncIterable<string>,
  log: Log,
  ended: () => void,
): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder();
  const chunks = inChunks(text)[Symbol.asyncIterator]();
  return new ReadableStream({
    async pull(controller) {
      try {
        // A reader that is as fast as we are must not keep all others waiting.
        await breathe();
        const { done, value } = await chunks.next();
        if (done !== true) return controller.enqueue(encoder.encode(value));
        ended();
        controller.close();
      } catch (fault) {
        ended();
        log('export-fault', faultDetails(fault));
        controller.error(fault);
      }
    },
    async cancel() {
      ended();
      await chunks.return?.(undefined);
    },
  });
}

async function* inChunks(text: AsyncIterable<string>): AsyncGenerator<string> {
  let chunk = '';
  for await (const piece of text) {
    chunk += piece;
    if (chunk.length < CHUNK_LENGTH) continue;
    yield chunk;
    chunk = '';
  }
  if (chunk !== '') yield chunk;
}

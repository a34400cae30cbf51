/** Tells this window and, where the device has a channel, the tablet's other windows which pairs have changed. */
import * as z from 'zod/mini';
import type { PairId } from '../../domain/ids.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';

/** What a BroadcastChannel does, as far as it is used. */
export interface LedgerChannel {
  postMessage(message: unknown): void;
  addEventListener(type: 'message', listener: (event: { readonly data: unknown }) => void): void;
  close(): void;
}

export const LEDGER_CHANNEL = 'waxend-ledger';

const noticeSchema = z.object({ changed: z.array(pairIdSchema) });

export class Notices {
  readonly #channel: LedgerChannel | null;
  readonly #listeners = new Set<(pairs: readonly PairId[]) => void>();

  constructor(channel: LedgerChannel | null) {
    this.#channel = channel;
    channel?.addEventListener('message', ({ data }) => {
      const notice = noticeSchema.safeParse(data);
      // An unreadable notice of another version still says that something changed.
      this.#tell(notice.success ? notice.data.changed : []);
    });
  }

  listen(onChange: (pairs: readonly PairId[]) => void): () => void {
    this.#listeners.add(onChange);
    return () => this.#listeners.delete(onChange);
  }

  changed(pairs: readonly PairId[]): void {
    this.#tell(pairs);
    try {
      this.#channel?.postMessage({ changed: pairs });
    } catch {
      // A closed channel; the other windows read the store again when they are next looked at.
    }
  }

  close(): void {
    this.#listeners.clear();
    this.#channel?.close();
  }

  /** A listener that throws must not make a record look unmade, so each is told outside the caller's stack. */
  #tell(pairs: readonly PairId[]): void {
    for (const listener of this.#listeners) queueMicrotask(() => listener(pairs));
  }
}

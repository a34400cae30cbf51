/**
 * Where the desk keeps what it knows: a ledger of its own beside the bench's, so that a browser that is both mixes
 * nothing. Names of stores, channels and locks are shared by all windows of a browser, hence the desk's own.
 */
import { type Instant, instantSchema } from '../domain/instant.ts';
import { IdbLedger } from '../tablet/ledger/idb-ledger.ts';

export const DESK_LEDGER = 'waxend-desk';
export const DESK_CHANNEL = 'waxend-desk-ledger';
export const DESK_LOCK = 'waxend-desk-sync';
/** Where an earlier version kept the desk's key, without lane or ledger: of no more use than to know of it. */
const OLD_SLOT = 'waxend-desk';
const REACHED_SLOT = 'waxend-desk-reached';

export function openDeskLedger(): IdbLedger {
  const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(DESK_CHANNEL);
  return new IdbLedger({ name: DESK_LEDGER, channel });
}

/** Small things that may be lost. A browser that forbids storage throws when it is merely named. */
export class Slots {
  readonly #storage: () => Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;

  constructor(storage: () => Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>) {
    this.#storage = storage;
  }

  /** The value that was written, or null. */
  read(slot: string): unknown {
    try {
      return JSON.parse(this.#storage().getItem(slot) ?? 'null');
    } catch {
      // Forbidden, or a text that is no JSON: nothing is kept.
      return null;
    }
  }

  /** @param value null forgets. @returns false where it is not kept */
  write(slot: string, value: unknown): boolean {
    try {
      if (value === null) this.#storage().removeItem(slot);
      else this.#storage().setItem(slot, JSON.stringify(value));
      return true;
    } catch {
      // Forbidden or full.
      return false;
    }
  }

  /** A desk that was set up before desks had a ledger. */
  get oldDesk(): boolean {
    return this.read(OLD_SLOT) !== null;
  }

  forgetOldDesk(): void {
    this.write(OLD_SLOT, null);
  }

  /** When the server was last reached, by any window and before this start. */
  get reached(): Instant | null {
    return instantSchema.safeParse(this.read(REACHED_SLOT)).data ?? null;
  }

  noteReached(at: Instant): void {
    this.write(REACHED_SLOT, at);
  }
}

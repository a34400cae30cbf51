/** Slows down who tries too often: each key has a bucket of tries that fills again with time. */
import { type Instant, MINUTE_MS } from '../domain/instant.ts';

export interface Allowance {
  /** Tries at once. */
  readonly burst: number;
  readonly perMinute: number;
}

/** Beyond this many keys the ones longest unseen are forgotten: guessing with many keys cannot fill the memory. */
const KEYS_MAX = 10_000;

export class TokenBuckets {
  readonly #allowance: Allowance;
  readonly #buckets = new Map<string, { readonly left: number; readonly at: Instant }>();

  constructor(allowance: Allowance) {
    this.#allowance = allowance;
  }

  /** Takes a try. @returns 0 when there was one, otherwise the milliseconds until there is */
  take(key: string, now: Instant): number {
    const { burst, perMinute } = this.#allowance;
    const perMs = perMinute / MINUTE_MS;
    const before = this.#buckets.get(key) ?? { left: burst, at: now };
    // A clock that was put back fills nothing and takes nothing away.
    const left = Math.min(burst, before.left + Math.max(0, now - before.at) * perMs);
    const granted = left >= 1;
    this.#buckets.delete(key);
    this.#buckets.set(key, { left: granted ? left - 1 : left, at: now });
    const [oldest] = this.#buckets.keys();
    if (this.#buckets.size > KEYS_MAX && oldest !== undefined) this.#buckets.delete(oldest);
    return granted ? 0 : Math.ceil((1 - left) / perMs);
  }
}

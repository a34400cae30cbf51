/**
 * Appends to a site that come while others are on their way are taken together: one transaction, and one wait for the
 * disk, for all of them.
 *
 * - What is together is committed together, and nobody is answered before.
 * - Where that fails, each is tried by itself, so that nobody suffers from what another sent.
 * - Sites do not wait for each other.
 */
import type { SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Fit } from './judge.ts';
import type { AppendAnswer } from './ledger.ts';

export type Outcome = readonly AppendAnswer['answer'][];

export interface Append {
  readonly fits: readonly Fit[];
  readonly receivedAt: Instant;
}

/** Takes them in one transaction, in their order, and answers for each. */
export type TakeTogether = (site: SiteId, appends: readonly Append[]) => Promise<readonly Outcome[]>;

/** No more in one transaction than others can wait for. */
const RECORDS_AT_ONCE = 2_000;

interface Waiting extends Append {
  readonly resolve: (outcome: Outcome) => void;
  readonly reject: (fault: unknown) => void;
}

export class AppendQueue {
  readonly #take: TakeTogether;
  readonly #gather: (() => Promise<unknown>) | null;
  readonly #waiting = new Map<SiteId, Waiting[]>();

  /** @param gather gives what has arrived already the time to join; null to begin at once */
  constructor(take: TakeTogether, gather: (() => Promise<unknown>) | null) {
    this.#take = take;
    this.#gather = gather;
  }

  add(site: SiteId, append: Append): Promise<Outcome> {
    return new Promise((resolve, reject) => {
      const one = { ...append, resolve, reject };
      const waiting = this.#waiting.get(site);
      if (waiting !== undefined) waiting.push(one);
      else {
        this.#waiting.set(site, [one]);
        void this.#work(site);
      }
    });
  }

  async #work(site: SiteId): Promise<void> {
    const waiting = this.#waiting.get(site) ?? [];
    while (waiting.length > 0) {
      if (this.#gather !== null) await this.#gather();
      const some = waiting.splice(0, fitting(waiting));
      if (!(await this.#taken(site, some))) for (const one of some) await this.#alone(site, one);
    }
    this.#waiting.delete(site);
  }

  /** False where it failed and each may do better by itself. */
  async #taken(site: SiteId, some: readonly Waiting[]): Promise<boolean> {
    if (some.length === 1) return false;
    try {
      const outcomes = await this.#take(site, some);
      for (const [index, { resolve }] of some.entries()) resolve(outcomes[index] ?? []);
      return true;
    } catch {
      // Told by those that fail by themselves too.
      return false;
    }
  }

  async #alone(site: SiteId, one: Waiting): Promise<void> {
    try {
      const [outcome] = await this.#take(site, [one]);
      one.resolve(outcome ?? []);
    } catch (fault) {
      one.reject(fault);
    }
  }
}

/** How many of them go together: at least one. */
function fitting(waiting: readonly Append[]): number {
  let records = 0;
  for (const [index, { fits }] of waiting.entries()) {
    records += fits.length;
    if (records > RECORDS_AT_ONCE) return Math.max(index, 1);
  }
  return waiting.length;
}

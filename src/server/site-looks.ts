/**
 * How the sites stand, for the live streams. A piece of news wakes hundreds of them at once, and all of them ask the same:
 * what they ask within one turn of the event loop is looked up once.
 */
import type { BenchId, SiteId } from '../domain/ids.ts';
import type { ServerLedger, Standing } from './ledger/ledger.ts';

export interface SiteLook {
  readonly standing: Standing | null;
  /** Benches whose key still opens. */
  readonly standingBenches: ReadonlySet<BenchId>;
}

export class SiteLooks {
  readonly #ledger: ServerLedger;
  readonly #soon = new Map<SiteId, Promise<SiteLook>>();

  constructor(ledger: ServerLedger) {
    this.#ledger = ledger;
  }

  /** How the site stands now or a moment later, never before the call. */
  look(site: SiteId, bench: BenchId): Promise<SiteLook> {
    const asked = this.#soon.get(site);
    if (asked !== undefined) return asked;
    const looked = new Promise<void>((resolve) => setImmediate(resolve)).then(() => {
      // Whoever asks from here on may mean something newer.
      this.#soon.delete(site);
      return this.#lookNow(site, bench);
    });
    this.#soon.set(site, looked);
    return looked;
  }

  async #lookNow(site: SiteId, bench: BenchId): Promise<SiteLook> {
    const benches = await this.#ledger.benches(site);
    const standing = await this.#ledger.standing(site, bench);
    const open = benches.filter(({ revokedAt }) => revokedAt === null);
    return { standing, standingBenches: new Set(open.map((entry) => entry.bench)) };
  }
}

/** The followers of the sites, one each: what one question has had folded, the next need not fold again. */
import type { SiteId } from '../domain/ids.ts';
import { DeskFollower } from './desk-follower.ts';
import type { ServerLedger } from './ledger/ledger.ts';

export class Followers {
  readonly #ledger: ServerLedger;
  readonly #followers = new Map<SiteId, DeskFollower>();

  constructor(ledger: ServerLedger) {
    this.#ledger = ledger;
  }

  of(site: SiteId): DeskFollower {
    const follower = this.#followers.get(site) ?? new DeskFollower(this.#ledger, site);
    this.#followers.set(site, follower);
    return follower;
  }
}

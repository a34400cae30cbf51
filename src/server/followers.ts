/** The followers of the sites, one each: what one question has had folded, the next need not fold again. */
import type { SiteId } from '../domain/ids.ts';
import { DeskFollower } from './desk-follower.ts';
import type { ServerLedger } from './ledger/ledger.ts';
import { LongHere } from './long-here.ts';

export class Followers {
  readonly #ledger: ServerLedger;
  readonly #followers = new Map<SiteId, DeskFollower>();
  readonly #longHere = new Map<SiteId, LongHere>();

  constructor(ledger: ServerLedger) {
    this.#ledger = ledger;
  }

  of(site: SiteId): DeskFollower {
    const follower = this.#followers.get(site) ?? new DeskFollower(this.#ledger, site);
    this.#followers.set(site, follower);
    return follower;
  }

  longHere(site: SiteId): LongHere {
    const follower = this.#longHere.get(site) ?? new LongHere(this.#ledger, site);
    this.#longHere.set(site, follower);
    return follower;
  }
}

/** The sheets of the sites, one each: what one question has had computed, the next need not compute again. */
import type { SiteId } from '../../domain/ids.ts';
import type { ServerLedger } from '../ledger/ledger.ts';
import { Sheets } from './sheets.ts';

export class AllSheets {
  readonly #ledger: ServerLedger;
  readonly #sheets = new Map<SiteId, Sheets>();

  constructor(ledger: ServerLedger) {
    this.#ledger = ledger;
  }

  of(site: SiteId): Sheets {
    const sheets = this.#sheets.get(site) ?? new Sheets(this.#ledger, site);
    this.#sheets.set(site, sheets);
    return sheets;
  }
}

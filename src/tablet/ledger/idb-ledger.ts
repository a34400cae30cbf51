/**
 * The tablet's ledger in IndexedDB. The promises are in `ledger.ts`; how a transaction is opened, limited and tried
 * again is in `connection.ts`. Nothing in a transaction's work may await anything but its requests.
 */
import type { Placed } from '../../domain/fold/order.ts';
import type { BenchId, Cursor, PairId, RecordId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import type { PhotoStore } from '../photos/photo-store.ts';
import { Connection, type Limits } from './connection.ts';
import { laterPhotos } from './later-photos.ts';
import type { Outbox, PairRecords, Pulled, Settings, TabletLedger, Unsent } from './ledger.ts';
import { add, heldAlready, mustBeReadable } from './making.ts';
import type { Migration, OutboxRow } from './migrations.ts';
import { type LedgerChannel, Notices } from './notices.ts';
import { packs, settingKey } from './packing-store.ts';
import { allHeld } from './packs.ts';
import { pairsOf, placedOf, rowOfRecord } from './record-row.ts';
import { type Report, SETTING_NAMES, type SettingName, settingsFrom } from './settings-rows.ts';
import type { SharedStore } from './shared-store.ts';
import { EVERYTHING } from './whole-store.ts';

export interface IdbLedgerOptions {
  readonly name?: string;
  /** Joins the windows of this tablet; without it each window hears only itself. */
  readonly channel?: LedgerChannel | null;
  /** Told about settings that cannot be read. */
  readonly report?: Report;
  readonly limits?: Limits;
  readonly migrations?: readonly Migration[];
  /** Photographs that the server holds are given up above so many bytes. */
  readonly photoBudgetBytes?: number;
}

export const LEDGER_NAME = 'waxend';

export class IdbLedger implements TabletLedger {
  /** In the same database, over the same connection. */
  readonly photos: PhotoStore;
  readonly #connection: Connection;
  readonly #notices: Notices;
  readonly #report: Report;
  readonly #store: SharedStore;

  constructor(options: IdbLedgerOptions = {}) {
    this.#connection = new Connection(options.name ?? LEDGER_NAME, options.limits, options.migrations);
    this.photos = laterPhotos(this.#connection, options.photoBudgetBytes);
    this.#notices = new Notices(options.channel ?? null);
    this.#report = options.report ?? (() => undefined);
    this.#store = { connection: this.#connection, changed: (pairs) => this.#notices.changed(pairs) };
  }

  async commit(drafts: readonly Draft[]): Promise<readonly LedgerRecord[]> {
    if (drafts.length === 0) return [];
    for (const draft of drafts) mustBeReadable(draft);
    const made = await this.#connection.write(EVERYTHING, async (writing) => {
      const records: LedgerRecord[] = [];
      for (const draft of drafts)
        records.push((await heldAlready(writing, draft)) ?? (await add(writing, draft)));
      return records;
    });
    this.#notices.changed(pairsOf(made.map(rowOfRecord)));
    return made;
  }

  async recordsOfPair(pair: PairId): Promise<readonly Placed[]> {
    const { rows, held } = await this.#connection.read(EVERYTHING, async (reading) => {
      const [rows, pack, packed] = await Promise.all([
        reading.objectStore('records').index('pair').getAll(pair),
        reading.objectStore('packs').get(pair),
        packs(reading),
      ]);
      return { rows, held: packed && pack !== undefined ? [pack] : [] };
    });
    return allHeld(rows, held);
  }

  async recordsOfThing(thing: string): Promise<readonly Placed[]> {
    return (await import('./things.ts')).recordsOfThing(this.#connection, thing);
  }

  async *everyPair(): AsyncGenerator<readonly PairRecords[]> {
    yield* (await import('./pair-slices.ts')).pairsIn(this.#connection);
  }

  async recordsOfBench(bench: BenchId, since: Instant): Promise<readonly LedgerRecord[]> {
    const rows = await this.#connection.read(['records'], async (reading) => {
      const records = reading.objectStore('records');
      const lately = await records
        .index('bench-at')
        .getAll(IDBKeyRange.bound([bench, since], [bench, Infinity]));
      const first = Math.min(...lately.map(({ seq }) => seq ?? Infinity));
      const onwards = IDBKeyRange.bound([bench, first], [bench, Infinity]);
      const bySeq = records.index('bench-seq');
      return (await bySeq.count(onwards)) === lately.length ? lately : bySeq.getAll(onwards);
    });
    return rows
      .flatMap(placedOf)
      .map(({ record }) => record)
      .sort((a, b) => a.seq - b.seq);
  }

  async takeTicket(): Promise<PairId> {
    return (await import('./tickets.ts')).takeTicket(this.#connection);
  }

  async waiting(limit: number): Promise<readonly LedgerRecord[]> {
    return (await import('./settling.ts')).waitingIn(this.#connection, limit);
  }

  async confirm(ids: readonly RecordId[]): Promise<void> {
    if (ids.length === 0) return;
    await (await import('./settling.ts')).confirmIn(this.#connection, ids);
    this.#notices.changed([]);
  }

  async refuse(
    refused: readonly { readonly id: RecordId; readonly reasons: readonly string[] }[],
  ): Promise<void> {
    if (refused.length === 0) return;
    await (await import('./settling.ts')).refuseIn(this.#connection, refused);
    this.#notices.changed([]);
  }

  outbox(): Promise<Outbox> {
    return this.#connection.read(['outbox'], async (reading) => {
      const index = reading.objectStore('outbox').index('state-seq');
      const [waiting, [oldest], refused] = await Promise.all([
        index.count(inState('waiting')),
        index.getAll(inState('waiting'), 1),
        index.count(inState('refused')),
      ]);
      return { waiting, oldestAt: oldest?.at ?? null, refused };
    });
  }

  async *inOutbox(): AsyncGenerator<readonly Unsent[]> {
    yield* (await import('./outbox-slices.ts')).unsentIn(this.#connection);
  }

  async serverHolds(bench: BenchId, epoch: string, heldSeq: number): Promise<number> {
    const { serverHolds } = await import('./pulling.ts');
    return serverHolds(this.#store, bench, epoch, heldSeq);
  }

  async apply(pulled: readonly Pulled[], cursor: Cursor): Promise<readonly PairId[]> {
    return (await import('./pulling.ts')).apply(this.#store, pulled, cursor);
  }

  async place(pulled: readonly Pulled[], epoch: string): Promise<readonly PairId[]> {
    return (await import('./pulling.ts')).place(this.#store, pulled, epoch);
  }

  async notHeld(pairs: readonly PairId[], epoch: string): Promise<readonly PairId[]> {
    return (await import('./pulling.ts')).notHeld(this.#store, pairs, epoch);
  }

  async forget(pairs: readonly PairId[], epoch: string, before: Instant): Promise<readonly PairId[]> {
    return (await import('./forgetting.ts')).forget(this.#store, pairs, epoch, before);
  }

  async settings(): Promise<Settings> {
    const rows = await this.#connection.read(EVERYTHING, (reading) => {
      const store = reading.objectStore('settings');
      return Promise.all(
        SETTING_NAMES.map(async (name) => [name, await store.get(await settingKey(reading, name))] as const),
      );
    });
    return settingsFrom(new Map(rows), this.#report);
  }

  async startAnew(): Promise<void> {
    const waiting = (await this.outbox()).waiting + (await this.photos.counts()).waiting;
    if (waiting > 0) throw new RangeError(`${waiting} records and photographs wait for the server`);
    const stores = [...EVERYTHING, 'photos'] as const;
    await this.#connection.write(stores, async (writing) => {
      await Promise.all(stores.map((store) => writing.objectStore(store).clear()));
    });
    this.#notices.changed([]);
  }

  async remember(settings: Partial<Settings>): Promise<void> {
    const known = new Set<string>(SETTING_NAMES);
    const rows = Object.entries(settings).filter(
      ([name, setting]) => known.has(name) && setting !== undefined,
    );
    await this.#connection.write(EVERYTHING, async (writing) => {
      const settings = writing.objectStore('settings');
      await Promise.all(
        rows.map(async ([name, setting]) =>
          settings.put(setting, await settingKey(writing, name as SettingName)),
        ),
      );
    });
    this.#notices.changed([]);
  }

  watch(onChange: (pairs: readonly PairId[]) => void): () => void {
    return this.#notices.listen(onChange);
  }

  close(): void {
    this.#notices.close();
    this.#connection.close();
  }
}

function inState(state: OutboxRow['state']): IDBKeyRange {
  return IDBKeyRange.bound([state], [state, []]);
}

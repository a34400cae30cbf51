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
import { IdbPhotos } from './idb-photos.ts';
import type { Outbox, PairRecords, Pulled, Settings, TabletLedger, Unsent } from './ledger.ts';
import { add, EVERYTHING, freeTicket, heldAlready, mustBeReadable, type Writing } from './making.ts';
import { findThings, type Migration, type OutboxRow, THINGS_FOUND } from './migrations.ts';
import { type LedgerChannel, Notices } from './notices.ts';
import { pairsIn } from './pair-slices.ts';
import { pairsOf, placedOf, type RecordRow, rowOfRecord } from './record-row.ts';
import { cursorFrom, laneFrom, type Report, SETTING_NAMES, settingsFrom } from './settings-rows.ts';
import type { SharedStore } from './shared-store.ts';

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
    this.photos = new IdbPhotos(this.#connection, options.photoBudgetBytes);
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
    const rows = await this.#connection.read(['records'], (reading) =>
      reading.objectStore('records').index('pair').getAll(pair),
    );
    return rows.flatMap(placedOf);
  }

  async recordsOfThing(thing: string): Promise<readonly Placed[]> {
    await this.#findThingsOfOlderRows();
    const rows = await this.#connection.read(['records'], (reading) =>
      reading.objectStore('records').index('thing').getAll(thing),
    );
    return rows.flatMap(placedOf);
  }

  everyPair(): AsyncIterable<readonly PairRecords[]> {
    return pairsIn(this.#connection);
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
    const taken = await this.#connection.write(EVERYTHING, async (writing) => {
      const settings = writing.objectStore('settings');
      const lane = laneFrom(await settings.get('enrolment'), await settings.get('ticketCounter'));
      const issued = lane === null ? null : await freeTicket(writing, lane);
      if (issued !== null) await settings.put(issued.next, 'ticketCounter');
      return issued?.pair ?? null;
    });
    if (taken === null) throw new RangeError('the tablet has no lane, or all its numbers are given');
    return taken;
  }

  async waiting(limit: number): Promise<readonly LedgerRecord[]> {
    const rows = await this.#connection.read(['records', 'outbox'], async (reading) => {
      const entries = await reading
        .objectStore('outbox')
        .index('state-seq')
        .getAll(inState('waiting'), limit);
      return Promise.all(entries.map(({ id }) => reading.objectStore('records').get(id)));
    });
    // As it was made, not as this version reads it: a rolled-back app still sends what a newer one recorded.
    return rows.flatMap((row) => (row === undefined ? [] : [row.raw as LedgerRecord]));
  }

  async confirm(ids: readonly RecordId[]): Promise<void> {
    await this.#settle(ids, (writing, { bench, seq }) => writing.objectStore('outbox').delete([bench, seq]));
  }

  async refuse(
    refused: readonly { readonly id: RecordId; readonly reasons: readonly string[] }[],
  ): Promise<void> {
    const reasonsOf = new Map<string, readonly string[]>(refused.map(({ id, reasons }) => [id, reasons]));
    await this.#settle([...reasonsOf.keys()], (writing, row) =>
      writing
        .objectStore('outbox')
        .put({ ...row, state: 'refused', reasons: [...(reasonsOf.get(row.id) ?? [])] }),
    );
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
    const rows = await this.#connection.read(['settings'], (reading) => {
      const store = reading.objectStore('settings');
      return Promise.all(SETTING_NAMES.map(async (name) => [name, await store.get(name)] as const));
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
    await this.#connection.write(['settings'], async (writing) => {
      await Promise.all(rows.map(([name, setting]) => writing.objectStore('settings').put(setting, name)));
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

  /**
   * An older app, put back or still open in another window, works on this store and writes rows without their thing;
   * it moves the cursor and not our mark beside it. Then all rows are looked through, in steps that each end soon.
   */
  async #findThingsOfOlderRows(): Promise<void> {
    const [cursor, found] = await this.#connection.read(['settings'], (reading) => {
      const settings = reading.objectStore('settings');
      return Promise.all([settings.get('cursor'), settings.get(THINGS_FOUND)]);
    });
    const upTo = cursorFrom(cursor);
    if (found === upTo) return;
    let after: string | null = null;
    do {
      const from: string | null = after;
      after = await this.#connection.write(['records'], (writing) =>
        findThings(writing.objectStore('records'), from),
      );
    } while (after !== null);
    await this.#connection.write(['settings'], (writing) =>
      writing.objectStore('settings').put(upTo, THINGS_FOUND),
    );
  }

  /** Does something to the outbox entries of these records; a record without an entry is settled already. */
  async #settle(
    ids: readonly string[],
    settleEntry: (writing: Writing, entry: OutboxRow) => Promise<unknown>,
  ): Promise<void> {
    if (ids.length === 0) return;
    await this.#connection.write(EVERYTHING, async (writing) => {
      const records = await Promise.all(ids.map((id) => writing.objectStore('records').get(id)));
      const keys = records.flatMap((row) => (row === undefined ? [] : keyOf(row)));
      const entries = await Promise.all(keys.map((key) => writing.objectStore('outbox').get(key)));
      await Promise.all(
        entries.flatMap((entry) => (entry === undefined ? [] : [settleEntry(writing, entry)])),
      );
    });
    this.#notices.changed([]);
  }
}

function keyOf({ bench, seq }: RecordRow): readonly [string, number][] {
  return bench === null || seq === null ? [] : [[bench, seq]];
}

function inState(state: OutboxRow['state']): IDBKeyRange {
  return IDBKeyRange.bound([state], [state, []]);
}

/**
 * The tablet's ledger in IndexedDB. The promises are in `ledger.ts`; how a transaction is opened, limited and tried
 * again is in `connection.ts`. Nothing in a transaction's work may await anything but its requests.
 */
import type { IDBPTransaction } from 'idb';
import { issueTicket } from '../../domain/code.ts';
import { placeOf } from '../../domain/cursor.ts';
import type { Placed } from '../../domain/fold/order.ts';
import type { BenchId, Cursor, PairId, RecordId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';
import type { PhotoStore } from '../photos/photo-store.ts';
import { Connection, type Limits } from './connection.ts';
import { IdbPhotos } from './idb-photos.ts';
import type { Outbox, PairRecords, Settings, TabletLedger } from './ledger.ts';
import { findThings, type LedgerSchema, type Migration, type OutboxRow, THINGS_FOUND } from './migrations.ts';
import { type LedgerChannel, Notices } from './notices.ts';
import { pairsIn } from './pair-slices.ts';
import { pairsOf, placedOf, type RecordRow, rowOfPulled, rowOfRecord } from './record-row.ts';
import { cursorFrom, laneFrom, type Report, SETTING_NAMES, settingsFrom } from './settings-rows.ts';

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

const EVERYTHING = ['records', 'outbox', 'settings'] as const;
type Writing = IDBPTransaction<LedgerSchema, typeof EVERYTHING, 'readwrite'>;

export class IdbLedger implements TabletLedger {
  /** In the same database, over the same connection. */
  readonly photos: PhotoStore;
  readonly #connection: Connection;
  readonly #notices: Notices;
  readonly #report: Report;

  constructor(options: IdbLedgerOptions = {}) {
    this.#connection = new Connection(options.name ?? LEDGER_NAME, options.limits, options.migrations);
    this.photos = new IdbPhotos(this.#connection, options.photoBudgetBytes);
    this.#notices = new Notices(options.channel ?? null);
    this.#report = options.report ?? (() => undefined);
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
    const rows = await this.#connection.read(['records'], (reading) =>
      reading
        .objectStore('records')
        .index('bench-at')
        .getAll(IDBKeyRange.bound([bench, since], [bench, Infinity])),
    );
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

  async serverHolds(bench: BenchId, epoch: string, heldSeq: number): Promise<number> {
    const above = IDBKeyRange.bound([bench, heldSeq], [bench, Infinity], true);
    const asExpected = await this.#connection.read(EVERYTHING, async (reading) => {
      const [made, kept, next, compared] = await Promise.all([
        reading.objectStore('records').index('bench-seq').count(above),
        reading.objectStore('outbox').count(above),
        nextSeq(reading, bench),
        reading.objectStore('settings').get(comparedKey(bench)),
      ]);
      return made === kept && next > heldSeq && compared === epoch;
    });
    if (asExpected) return 0;
    const again = await this.#connection.write(EVERYTHING, async (writing) => {
      const settings = writing.objectStore('settings');
      const outbox = writing.objectStore('outbox');
      if ((await nextSeq(writing, bench)) <= heldSeq) await settings.put(heldSeq, usedKey(bench));
      const [rows, keys] = await Promise.all([
        writing.objectStore('records').index('bench-seq').getAll(ofBench(bench)),
        outbox.getAllKeys(ofBench(bench)),
      ]);
      const unconfirmed = new Set(keys.map(([, seq]) => seq));
      const lost = rows
        .filter((row) => row.epoch !== epoch || (row.seq ?? 0) > heldSeq)
        .flatMap(entryOfRow)
        .filter(({ seq }) => !unconfirmed.has(seq));
      await Promise.all([...lost.map((entry) => outbox.add(entry)), settings.put(epoch, comparedKey(bench))]);
      return lost.length;
    });
    if (again > 0) this.#notices.changed([]);
    return again;
  }

  async apply(
    pulled: readonly { readonly pos: number; readonly record: unknown }[],
    cursor: Cursor,
  ): Promise<readonly PairId[]> {
    const epoch = placeOf(cursor)?.epoch;
    if (epoch === undefined) {
      if (pulled.length > 0) throw new RangeError('pulled records came with a cursor that names no place');
      return [];
    }
    const rows = firstOfEach(pulled.map(({ pos, record }) => rowOfPulled(record, { pos, epoch })));
    const { changed, moved } = await this.#connection.write(['records', 'settings'], async (writing) => {
      const records = writing.objectStore('records');
      const settings = writing.objectStore('settings');
      const held = await Promise.all(rows.map(({ id }) => records.get(id)));
      const changed = rows.flatMap((row, index) => placeIn(held[index], row));
      const before = cursorFrom(await settings.get('cursor'));
      const after = further(before, cursor);
      if ((await settings.get(THINGS_FOUND)) === before) await settings.put(after, THINGS_FOUND);
      await Promise.all([
        ...changed.map((row) => records.put(row)),
        settings.put(after, 'cursor'),
        settings.put(epoch, 'epoch'),
      ]);
      return { changed, moved: before !== after };
    });
    const pairs = pairsOf(changed);
    if (changed.length > 0 || moved) this.#notices.changed(pairs);
    return pairs;
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

function mustBeReadable(draft: Draft): void {
  const read = readRecord({ ...draft, seq: 1, seen: '' });
  if (read.is === 'bad') throw new RangeError(`draft ${draft.id} is no record: ${read.reasons.join('; ')}`);
  if (read.is === 'newer') throw new RangeError(`draft ${draft.id} has a kind or version nobody knows here`);
}

async function heldAlready(writing: Writing, { id }: Draft): Promise<LedgerRecord | null> {
  const row = await writing.objectStore('records').get(id);
  const [held] = row === undefined ? [] : placedOf(row);
  return held?.record ?? null;
}

async function add(writing: Writing, draft: Draft): Promise<LedgerRecord> {
  const seen = cursorFrom(await writing.objectStore('settings').get('cursor'));
  const record = { ...draft, seq: await nextSeq(writing, draft.bench), seen } as LedgerRecord;
  await Promise.all([
    writing.objectStore('records').add(rowOfRecord(record)),
    writing.objectStore('outbox').add(entryOf(record)),
  ]);
  return record;
}

/** The lane's next number that no record is about; null where it has none left. */
async function freeTicket(
  writing: Writing,
  { lane, counter }: { readonly lane: number; readonly counter: number },
): Promise<{ readonly pair: PairId; readonly next: number } | null> {
  const pairs = writing.objectStore('records').index('pair');
  for (let next = counter; ; ) {
    const issued = ticketOrNull(lane, next);
    if (issued === null || (await pairs.getKey(issued.pair)) === undefined) return issued;
    next = issued.next;
  }
}

function ticketOrNull(lane: number, counter: number) {
  try {
    return issueTicket(lane, counter);
  } catch (cause) {
    if (cause instanceof RangeError) return null;
    throw cause;
  }
}

/** The number after the bench's last, by its records and by what the server has said it holds. */
async function nextSeq(
  transaction: IDBPTransaction<LedgerSchema, typeof EVERYTHING, IDBTransactionMode>,
  bench: BenchId,
): Promise<number> {
  const [last, used] = await Promise.all([
    transaction.objectStore('records').index('bench-seq').openKeyCursor(ofBench(bench), 'prev'),
    transaction.objectStore('settings').get(usedKey(bench)),
  ]);
  return Math.max(last?.key[1] ?? 0, typeof used === 'number' ? used : 0) + 1;
}

/** Private rows of the ledger among the settings. */
function usedKey(bench: BenchId): string {
  return `used-seq ${bench}`;
}
function comparedKey(bench: BenchId): string {
  return `compared-epoch ${bench}`;
}

function ofBench(bench: BenchId): IDBKeyRange {
  return IDBKeyRange.bound([bench, 0], [bench, Infinity]);
}

function entryOf({ bench, seq, id, at }: LedgerRecord): OutboxRow {
  return { bench, seq, id, at, state: 'waiting', reasons: [] };
}

function entryOfRow({ bench, seq, id, at }: RecordRow): readonly OutboxRow[] {
  if (bench === null || seq === null || at === null) return [];
  return [{ bench, seq, id, at, state: 'waiting', reasons: [] }];
}

function keyOf({ bench, seq }: RecordRow): readonly [string, number][] {
  return bench === null || seq === null ? [] : [[bench, seq]];
}

function inState(state: OutboxRow['state']): IDBKeyRange {
  return IDBKeyRange.bound([state], [state, []]);
}

/** A record already held gets its place and keeps its content. */
function placeIn(held: RecordRow | undefined, row: RecordRow): readonly RecordRow[] {
  if (held === undefined) return [row];
  const { pos, epoch } = row;
  return held.pos === pos && held.epoch === epoch ? [] : [{ ...held, pos, epoch }];
}

function firstOfEach(rows: readonly RecordRow[]): readonly RecordRow[] {
  const byId = new Map<string, RecordRow>();
  for (const row of rows) if (!byId.has(row.id)) byId.set(row.id, row);
  return [...byId.values()];
}

/** Two windows may pull at once: a page that comes late must not take the cursor back. */
function further(before: Cursor, after: Cursor): Cursor {
  const [from, to] = [placeOf(before), placeOf(after)];
  return from !== null && to !== null && from.epoch === to.epoch && from.pos > to.pos ? before : after;
}

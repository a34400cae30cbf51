/**
 * The tablet's ledger in memory, for tests of what stands on the contract. It passes the same cases as the one in
 * IndexedDB (tests/contract/tablet-ledger.ts). Nothing of it is in the app: a bench has no memory fall-back.
 */
import { issueTicket } from '../../src/domain/code.ts';
import { CURSOR_START, placeOf } from '../../src/domain/cursor.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import type { BenchId, Cursor, PairId, RecordId } from '../../src/domain/ids.ts';
import type { Instant } from '../../src/domain/instant.ts';
import type { Envelope } from '../../src/domain/record/envelope.ts';
import { type Draft, type LedgerRecord, pairOf, thingOf } from '../../src/domain/record/kinds.ts';
import { type ReadResult, readRecord } from '../../src/domain/record/reading.ts';
import type { Outbox, PairRecords, Settings, TabletLedger, Unsent } from '../../src/tablet/ledger/ledger.ts';

interface Entry {
  readonly record: LedgerRecord;
  readonly state: 'waiting' | 'refused';
  readonly reasons: readonly string[];
}

export interface Row {
  readonly raw: unknown;
  readonly pos: number | null;
  readonly epoch: string | null;
}

/** To read a record takes longer than all else here, and what it says does not change. */
const readings = new WeakMap<object, ReadResult>();

function reading(raw: unknown): ReadResult {
  if (typeof raw !== 'object' || raw === null) return readRecord(raw);
  const read = readings.get(raw) ?? readRecord(raw);
  readings.set(raw, read);
  return read;
}

/** What every record carries, also one that a newer app made; null where it cannot be read. */
function envelopeOf(raw: unknown): (Envelope & { readonly kind: string }) | null {
  const read = reading(raw);
  if (read.is === 'bad') return null;
  return read.is === 'record' ? read.record : read.envelope;
}

function pairOfRaw(raw: unknown): PairId | null {
  const envelope = envelopeOf(raw);
  return envelope === null ? null : pairOf(envelope);
}

/** What all windows of one tablet share. */
export class MemoryStore {
  readonly records = new Map<string, Row>();
  /** The highest number of each bench among the records, whether this version can read them or not. */
  readonly highest = new Map<string, number>();
  readonly outbox = new Map<string, Entry>();
  readonly used = new Map<string, number>();
  readonly compared = new Map<string, string>();
  readonly listeners = new Set<(pairs: readonly PairId[]) => void>();
  settings: Settings = {
    enrolment: null,
    book: null,
    stages: [],
    offsets: [],
    cursor: CURSOR_START,
    epoch: null,
    ticketCounter: 0,
    cameraId: null,
    readIn: false,
    forgotAt: null,
  };

  keep(id: string, row: Row): void {
    this.records.set(id, row);
    const envelope = envelopeOf(row.raw);
    if (envelope === null) return;
    const { bench, seq } = envelope;
    this.highest.set(bench, Math.max(this.highest.get(bench) ?? 0, seq));
  }

  /** The store as it stands, as a copy of the whole tablet holds it. */
  copy(): MemoryStore {
    const copy = new MemoryStore();
    for (const name of ['records', 'highest', 'outbox', 'used', 'compared'] as const) {
      const to: Map<string, unknown> = copy[name];
      for (const [key, value] of this[name]) to.set(key, value);
    }
    copy.settings = this.settings;
    return copy;
  }
}

export class MemoryLedger implements TabletLedger {
  readonly #store: MemoryStore;

  constructor(store = new MemoryStore()) {
    this.#store = store;
  }

  async commit(drafts: readonly Draft[]): Promise<readonly LedgerRecord[]> {
    for (const draft of drafts) {
      const read = readRecord({ ...draft, seq: 1, seen: '' });
      if (read.is !== 'record') throw new RangeError(`draft ${draft.id} is no record`);
    }
    const made = drafts.map((draft) => this.#held(draft.id) ?? this.#add(draft));
    this.#tell(made.map(pairOf));
    return made;
  }

  async recordsOfPair(pair: PairId): Promise<readonly Placed[]> {
    return this.#placed().filter(({ record }) => pairOf(record) === pair);
  }

  async recordsOfThing(thing: string): Promise<readonly Placed[]> {
    return this.#placed().filter(({ record }) => thingOf(record) === thing);
  }

  async *everyPair(): AsyncGenerator<readonly PairRecords[]> {
    const pairs = new Set(this.#placed().map(({ record }) => pairOf(record)));
    for (const pair of pairs) {
      if (pair !== null) yield [{ pair, placed: await this.recordsOfPair(pair) }];
    }
  }

  async takeTicket(): Promise<PairId> {
    const { enrolment, ticketCounter } = this.#store.settings;
    if (enrolment === null) throw new RangeError('a tablet that is not enrolled has no lane');
    const known = new Set(this.#placed().map(({ record }) => pairOf(record)));
    let issued = issueTicket(enrolment.lane, ticketCounter);
    while (known.has(issued.pair)) issued = issueTicket(enrolment.lane, issued.next);
    this.#store.settings = { ...this.#store.settings, ticketCounter: issued.next };
    return issued.pair;
  }

  async recordsOfBench(bench: BenchId, since: Instant): Promise<readonly LedgerRecord[]> {
    const own = this.#placed()
      .map(({ record }) => record)
      .filter((record) => record.bench === bench)
      .sort((a, b) => a.seq - b.seq);
    const first = own.findIndex(({ at }) => at >= since);
    return first < 0 ? [] : own.slice(first);
  }

  async waiting(limit: number): Promise<readonly LedgerRecord[]> {
    // As it was made, not as this version reads it.
    return this.#entries('waiting')
      .slice(0, limit)
      .map(({ record }) => this.#asMade(record));
  }

  async confirm(ids: readonly RecordId[]): Promise<void> {
    for (const id of ids) this.#store.outbox.delete(id);
    this.#tell([]);
  }

  async refuse(
    refused: readonly { readonly id: RecordId; readonly reasons: readonly string[] }[],
  ): Promise<void> {
    for (const { id, reasons } of refused) {
      const entry = this.#store.outbox.get(id);
      if (entry !== undefined) this.#store.outbox.set(id, { ...entry, state: 'refused', reasons });
    }
    this.#tell([]);
  }

  async outbox(): Promise<Outbox> {
    let oldest: LedgerRecord | null = null;
    let [waiting, refused] = [0, 0];
    for (const { record, state } of this.#store.outbox.values()) {
      if (state === 'refused') refused += 1;
      else {
        waiting += 1;
        if (oldest === null || record.seq < oldest.seq) oldest = record;
      }
    }
    return { waiting, oldestAt: oldest?.at ?? null, refused };
  }

  async *inOutbox(): AsyncGenerator<readonly Unsent[]> {
    const entries = [...this.#store.outbox.values()].sort((a, b) => a.record.seq - b.record.seq);
    if (entries.length > 0)
      yield entries.map(({ record, state, reasons }) => ({ record: this.#asMade(record), state, reasons }));
  }

  async serverHolds(bench: BenchId, epoch: string, heldSeq: number): Promise<number> {
    this.#store.used.set(bench, Math.max(this.#store.used.get(bench) ?? 0, heldSeq));
    const compared = this.#store.compared.get(bench) === epoch;
    this.#store.compared.set(bench, epoch);
    const lost = [...this.#store.records.values()].flatMap(({ raw, epoch: held }) => {
      const envelope = envelopeOf(raw);
      if (envelope === null || envelope.bench !== bench || this.#store.outbox.has(envelope.id)) return [];
      return envelope.seq > heldSeq || (!compared && held !== epoch) ? [raw as LedgerRecord] : [];
    });
    for (const record of lost) this.#store.outbox.set(record.id, { record, state: 'waiting', reasons: [] });
    if (lost.length > 0) this.#tell([]);
    return lost.length;
  }

  async apply(
    pulled: readonly { readonly pos: number; readonly record: unknown }[],
    cursor: Cursor,
  ): Promise<readonly PairId[]> {
    const to = placeOf(cursor);
    if (to === null) return [];
    const pairs = this.#place(pulled, to.epoch);
    const from = placeOf(this.#store.settings.cursor);
    const back = from !== null && from.epoch === to.epoch && from.pos > to.pos;
    this.#store.settings = {
      ...this.#store.settings,
      epoch: to.epoch,
      cursor: back ? this.#store.settings.cursor : cursor,
    };
    if (pulled.length > 0) this.#tell(pairs);
    return pairs;
  }

  async place(
    pulled: readonly { readonly pos: number; readonly record: unknown }[],
    epoch: string,
  ): Promise<readonly PairId[]> {
    const pairs = this.#place(pulled, epoch);
    if (pulled.length > 0) this.#tell(pairs);
    return pairs;
  }

  async notHeld(pairs: readonly PairId[], epoch: string): Promise<readonly PairId[]> {
    const held = new Set(
      [...this.#store.records.values()].flatMap((row) => (row.epoch === epoch ? [pairOfRaw(row.raw)] : [])),
    );
    return [...new Set(pairs)].filter((pair) => !held.has(pair));
  }

  async forget(pairs: readonly PairId[], epoch: string, before: Instant): Promise<readonly PairId[]> {
    const forgotten: PairId[] = [];
    for (const pair of new Set(pairs)) {
      const rows = [...this.#store.records].filter(([, { raw }]) => pairOfRaw(raw) === pair);
      const goes = rows.every(
        ([id, row]) =>
          row.epoch === epoch && (envelopeOf(row.raw)?.at ?? before) < before && !this.#store.outbox.has(id),
      );
      if (!goes || rows.length === 0) continue;
      // The highest number of each bench stays in `highest`.
      for (const [id] of rows) this.#store.records.delete(id);
      forgotten.push(pair);
    }
    if (forgotten.length > 0) this.#tell(forgotten);
    return forgotten;
  }

  async settings(): Promise<Settings> {
    return this.#store.settings;
  }

  async startAnew(): Promise<void> {
    const { waiting } = await this.outbox();
    if (waiting > 0) throw new RangeError(`${waiting} records wait for the server`);
    const fresh = new MemoryStore();
    this.#store.records.clear();
    this.#store.highest.clear();
    this.#store.outbox.clear();
    this.#store.used.clear();
    this.#store.settings = fresh.settings;
    this.#tell([]);
  }

  async remember(settings: Partial<Settings>): Promise<void> {
    this.#store.settings = { ...this.#store.settings, ...settings };
    this.#tell([]);
  }

  watch(onChange: (pairs: readonly PairId[]) => void): () => void {
    this.#store.listeners.add(onChange);
    return () => this.#store.listeners.delete(onChange);
  }

  close(): void {}

  #add(draft: Draft): LedgerRecord {
    const { used, highest } = this.#store;
    const last = Math.max(used.get(draft.bench) ?? 0, highest.get(draft.bench) ?? 0);
    const record = { ...draft, seq: last + 1, seen: this.#store.settings.cursor } as LedgerRecord;
    this.#store.keep(record.id, { raw: record, pos: null, epoch: null });
    this.#store.outbox.set(record.id, { record, state: 'waiting', reasons: [] });
    return record;
  }

  #place(
    pulled: readonly { readonly pos: number; readonly record: unknown }[],
    epoch: string,
  ): readonly PairId[] {
    const touched = new Set<PairId | null>();
    for (const { pos, record } of pulled) {
      const id = envelopeOf(record)?.id ?? `unread ${epoch}.${pos}`;
      const held = this.#store.records.get(id);
      if (held?.pos === pos && held.epoch === epoch) continue;
      this.#store.keep(id, { raw: held?.raw ?? record, pos, epoch });
      touched.add(pairOfRaw(record));
    }
    return [...touched].filter((pair) => pair !== null);
  }

  #asMade(record: LedgerRecord): LedgerRecord {
    return (this.#store.records.get(record.id)?.raw ?? record) as LedgerRecord;
  }

  #held(id: RecordId): LedgerRecord | null {
    const row = this.#store.records.get(id);
    const read = row === undefined ? null : reading(row.raw);
    return read?.is === 'record' ? read.record : null;
  }

  #placed(): readonly Placed[] {
    return [...this.#store.records.values()].flatMap(({ raw, pos, epoch }) => {
      const read = reading(raw);
      return read.is === 'record' ? [{ record: read.record, pos, epoch }] : [];
    });
  }

  #entries(state: Entry['state']): readonly Entry[] {
    return [...this.#store.outbox.values()]
      .filter((entry) => entry.state === state)
      .sort((a, b) => a.record.seq - b.record.seq);
  }

  #tell(pairs: readonly (PairId | null)[]): void {
    const touched = [...new Set(pairs.filter((pair) => pair !== null))];
    for (const listener of this.#store.listeners) queueMicrotask(() => listener(touched));
  }
}

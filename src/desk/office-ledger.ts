/**
 * The office over the desk's ledger: every pair folded and kept fresh, records made, tickets taken. Pages get a new
 * `Office` at each change and never one that changes under them.
 */
import { draft, type Making } from '../domain/drafts.ts';
import { foldPair } from '../domain/fold/pair.ts';
import type { PairState } from '../domain/fold/pair-state.ts';
import type { OperativeId, PairId, RecordId } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import { type Draft, type LedgerRecord, pairOf } from '../domain/record/kinds.ts';
import type { SiteBook } from '../domain/site-book.ts';
import { type Enrolment, LedgerFailure, type TabletLedger } from '../tablet/ledger/ledger.ts';
import { stillAt } from './at-desk.ts';
import { machinesOut } from './machines.ts';
import type { Act, Office } from './office.ts';
import { Pace, type Timers } from './pace.ts';

/** Pairs come in by the thousand when a desk is new; between two foldings the page draws. */
const FOLD_EVERY_MS = 100;
/** A ledger cannot be asked for what is new of machines alone, so that each is looked up. */
const MACHINES_EVERY_MS = 2_000;
const READ_AGAIN_MS = 5_000;

export interface OfficeParts {
  readonly ledger: TabletLedger;
  readonly wall: () => Making['wall'];
  readonly newId: () => RecordId;
  readonly timers: Timers;
  readonly wakeSync: () => void;
  readonly onOffice: (office: Office) => void;
  /** The ledger could not be read; it is tried again with the next change. */
  readonly onTrouble: (trouble: LedgerFailure) => void;
}

export class OfficeLedger {
  readonly #parts: OfficeParts;
  readonly #enrolment: Enrolment;
  readonly #pace: Pace;
  readonly #machinesPace: Pace;
  readonly #drafts = new WeakMap<readonly Act[], readonly Draft[]>();
  readonly #folded = new Map<PairId, PairState>();
  readonly #stale = new Set<PairId>();
  #settingsStale = true;
  #allRead = false;
  #callOff: () => void = () => undefined;
  #unwatch: () => void = () => undefined;
  #stopped = false;
  #office: Office;

  constructor(
    parts: OfficeParts,
    enrolment: Enrolment,
    from: { readonly book: SiteBook; readonly at: OperativeId | null; readonly upTo: Instant | null },
  ) {
    this.#parts = parts;
    this.#enrolment = enrolment;
    this.#pace = new Pace(FOLD_EVERY_MS, parts.timers, () => this.#refresh());
    this.#machinesPace = new Pace(MACHINES_EVERY_MS, parts.timers, () => this.#readMachines());
    const { book, at, upTo } = from;
    this.#office = {
      book,
      desk: enrolment.bench,
      at: stillAt(book, at),
      pairs: new Map(),
      outOfUse: [],
      readIn: false,
      upTo,
      waiting: 0,
      now: this.#now(),
      newTicket: () => parts.ledger.takeTicket(),
      record: (acts) => this.#record(acts),
    };
  }

  get office(): Office {
    return this.#office;
  }

  /** Resolves when every pair that the ledger holds has been folded, or when that has failed for now. */
  async start(): Promise<void> {
    this.#unwatch = this.#parts.ledger.watch((pairs) => {
      for (const pair of pairs) this.#stale.add(pair);
      this.#settingsStale = true;
      // What changes while all are read is folded after it.
      if (this.#allRead) this.#pace.ask();
      this.#machinesPace.ask();
    });
    this.#machinesPace.ask();
    await this.#readAll();
  }

  async #readAll(): Promise<void> {
    try {
      for await (const slice of this.#parts.ledger.everyPair()) {
        if (this.#stopped) return;
        for (const { pair, placed } of slice) this.#folded.set(pair, foldPair(pair, placed));
      }
    } catch (cause) {
      this.#told(cause);
      this.#callOff = this.#parts.timers.later(() => void this.#readAll(), READ_AGAIN_MS);
      return;
    }
    this.#allRead = true;
    this.#show({ pairs: new Map(this.#folded) });
    this.#pace.ask();
  }

  stop(): void {
    this.#stopped = true;
    this.#unwatch();
    this.#callOff();
    this.#pace.stop();
    this.#machinesPace.stop();
  }

  seat(at: OperativeId | null): void {
    this.#show({ at: stillAt(this.#office.book, at) });
  }

  reached(upTo: Instant): void {
    if (this.#office.upTo === null || upTo > this.#office.upTo) this.#show({ upTo });
  }

  tick(): void {
    this.#show({});
  }

  /** The same list of acts again makes the very same records: what failed half-known can be tried again. */
  async #record(acts: readonly Act[]): Promise<readonly LedgerRecord[]> {
    const { ledger, wall, newId, wakeSync } = this.#parts;
    const { at } = this.#office;
    if (at === null) throw new RangeError('nobody is at the desk');
    const { site, bench } = this.#enrolment;
    const making: Making = { site, bench, by: at, wall: wall(), newId };
    // That kind and fields belong together was checked where the act was made.
    const drafts = this.#drafts.get(acts) ?? acts.map(({ kind, said }) => draft(making, kind, said as never));
    this.#drafts.set(acts, drafts);
    const made = await ledger.commit(drafts);
    wakeSync();
    for (const pair of made.map(pairOf)) if (pair !== null) this.#stale.add(pair);
    await this.#refresh();
    if (made.some(isOfMachine)) await this.#readMachines();
    return made;
  }

  async #refresh(): Promise<void> {
    const { ledger } = this.#parts;
    const stale = [...this.#stale];
    this.#stale.clear();
    try {
      const folded = await Promise.all(
        stale.map(async (pair) => [pair, foldPair(pair, await ledger.recordsOfPair(pair))] as const),
      );
      for (const [pair, state] of folded) this.#folded.set(pair, state);
      const settings = this.#settingsStale ? await this.#readSettings() : {};
      this.#show({ ...settings, ...(stale.length > 0 ? { pairs: new Map(this.#folded) } : {}) });
    } catch (cause) {
      for (const pair of stale) this.#stale.add(pair);
      this.#told(cause);
    }
  }

  async #readMachines(): Promise<void> {
    try {
      const outOfUse = await machinesOut(this.#parts.ledger, this.#office.book);
      if (JSON.stringify(outOfUse) !== JSON.stringify(this.#office.outOfUse)) this.#show({ outOfUse });
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      // What reads the pairs tells of the trouble.
      this.#machinesPace.ask();
    }
  }

  async #readSettings(): Promise<Partial<Office>> {
    const { ledger } = this.#parts;
    const [{ book, readIn }, { waiting }] = await Promise.all([ledger.settings(), ledger.outbox()]);
    this.#settingsStale = false;
    const known = book ?? this.#office.book;
    return { book: known, at: stillAt(known, this.#office.at), readIn: readIn && this.#allRead, waiting };
  }

  #show(change: Partial<Office>): void {
    if (this.#stopped) return;
    this.#office = { ...this.#office, now: this.#now(), ...change };
    this.#parts.onOffice(this.#office);
  }

  #told(cause: unknown): void {
    if (!(cause instanceof LedgerFailure)) throw cause;
    this.#parts.onTrouble(cause);
  }

  #now(): Instant {
    const { ms, offsetMs } = this.#parts.wall();
    return ms + offsetMs;
  }
}

const isOfMachine = ({ kind }: LedgerRecord): boolean =>
  kind === 'machine-stopped' || kind === 'machine-back';

/**
 * The bench: takes scans and taps one at a time, asks the domain what they mean, has the ledger make the records,
 * and shows what is so.
 *
 * 1. Acts are taken strictly one after the other; a scan that comes while another is being recorded waits its turn.
 * 2. The view says that something is recorded only after `ledger.commit` has resolved.
 * 3. When it rejects, the view says so and keeps the act, so that «try again» makes the very same records.
 */
import { type Code, classify, type ScanSource } from '../../domain/code.ts';
import { badgedOff, badgedOn, benchSet, type Making } from '../../domain/drafts.ts';
import { type BenchState, EMPTY_BENCH, foldBench, stepBench } from '../../domain/fold/bench.ts';
import type { Placed } from '../../domain/fold/order.ts';
import { foldPair, type PairState } from '../../domain/fold/pair.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../../domain/ids.ts';
import { DAY_MS, type Instant, MINUTE_MS } from '../../domain/instant.ts';
import { type Intent, intentOf } from '../../domain/intent.ts';
import { type Draft, type LedgerRecord, pairOf } from '../../domain/record/kinds.ts';
import { holderOf, nameOf, shiftAt } from '../../domain/site-book.ts';
import { type Enrolment, LedgerFailure, type TabletLedger } from '../ledger/ledger.ts';
import { unseenNotes } from './bar.ts';
import type { EnrolOutcome, PairCard, Screen, ServerLink, Storage, View } from './screen.ts';

/** Nobody has scanned for so long: whoever was on has surely gone. */
export const QUIET_MS = 60 * MINUTE_MS;
/** How far back a bench looks for its own open spells when it starts. */
const LOOK_BACK_MS = 14 * DAY_MS;
/** How many of the pairs done last are listed. */
const DONE_SHOWN = 6;

export interface BenchDevice {
  readonly wall: () => Making['wall'];
  readonly newId: () => RecordId;
  /** Presents a set-up code to the server. */
  readonly enrol: (token: string) => Promise<EnrolOutcome>;
  /** Something waits for the server. */
  readonly wakeSync: () => void;
}

/** An act that was to be recorded and could not be: kept, so that it can be tried again. */
interface Unrecorded {
  readonly drafts: readonly Draft[];
  readonly after: (records: readonly LedgerRecord[]) => Promise<void> | void;
  /** The code whose scan it answers; null for a tap. */
  readonly scanned: string | null;
}

export class BenchApp {
  readonly #ledger: TabletLedger;
  readonly #device: BenchDevice;
  readonly #listeners = new Set<(view: View) => void>();
  #view: View;
  #bench: BenchState = EMPTY_BENCH;
  #enrolment: Enrolment | null = null;
  /** The highest sequence of this bench that `#bench` is folded from. */
  #lastSeq = 0;
  #queue: Promise<void> = Promise.resolve();
  #unrecorded: Unrecorded | null = null;
  #placed: readonly Placed[] = [];
  #scanning: string | null = null;
  #commits = 0;
  /** The scan recorded last, and the number of the commit that recorded it. */
  #answered: { readonly scanned: string | null; readonly commit: number } | null = null;

  constructor(ledger: TabletLedger, device: BenchDevice) {
    this.#ledger = ledger;
    this.#device = device;
    this.#view = firstView(this.now());
    ledger.watch((pairs) => this.#take(() => this.#othersWrote(pairs)));
  }

  get view(): View {
    return this.#view;
  }

  get enrolment(): Enrolment | null {
    return this.#enrolment;
  }

  watch(onView: (view: View) => void): () => void {
    this.#listeners.add(onView);
    return () => this.#listeners.delete(onView);
  }

  now(): Instant {
    const { ms, offsetMs } = this.#device.wall();
    return ms + offsetMs;
  }

  /** Resolves when everything taken so far has been dealt with. */
  settled(): Promise<void> {
    return this.#queue;
  }

  start(): Promise<void> {
    return this.#take(async () => {
      await this.#reload();
      const screen: Screen =
        this.#enrolment === null ? { is: 'enrol', state: 'waiting' } : this.#restScreen();
      this.show({ screen });
    });
  }

  scan(text: string, source: ScanSource): Promise<void> {
    const commitsWhenHeard = this.#commits;
    return this.#take(async () => {
      await this.retry();
      if (this.#unrecorded !== null) return;
      const code = classify(text, source, this.#view.book?.ticketPattern ?? null);
      const name = code.kind === 'ticket' ? code.pair : code.kind === 'badge' ? code.token : null;
      // Scanned again before the first scan was shown as recorded: it is the same act, not its opposite.
      const answered = this.#answered;
      if (name !== null && answered?.scanned === name && answered.commit > commitsWhenHeard) return;
      const holder =
        code.kind === 'badge' && this.#view.book !== null ? holderOf(this.#view.book, code.token) : null;
      if (code.kind === 'ticket' && !this.#view.readIn) return this.show({ hint: { is: 'reading-in' } });
      const pair = code.kind === 'ticket' ? await this.pair(code.pair) : null;
      this.show({ hint: null });
      this.#scanning = name;
      try {
        await this.#act(intentOf({ code, holder, pair }, this.#benchNow()), code, pair);
      } finally {
        this.#scanning = null;
      }
    });
  }

  /** Runs a tap's act in its turn; `taps.ts` holds what the taps do. */
  tap(act: () => Promise<void> | void): Promise<void> {
    return this.#take(async () => {
      await act();
    });
  }

  /** The folded pair, or null where this tablet has no record of it. */
  async pair(id: PairId): Promise<PairState | null> {
    this.#placed = await this.#ledger.recordsOfPair(id);
    return this.#placed.length === 0 ? null : foldPair(id, this.#placed);
  }

  /** The pair as folded with records that have just been made, without reading the store again. */
  pairWith(id: PairId, made: readonly LedgerRecord[]): PairState {
    return foldPair(id, [
      ...this.#placed.filter(({ record }) => pairOf(record) === id),
      ...made.map((record) => ({ record, pos: null, epoch: null })),
    ]);
  }

  making(by: OperativeId | null = this.#bench.on): Making {
    if (this.#enrolment === null) throw new Error('a record was to be made before the tablet was enrolled');
    const { site, bench } = this.#enrolment;
    return { site, bench, by, wall: this.#device.wall(), newId: this.#device.newId };
  }

  /** Makes the records, and only then goes on to `after`, which says so. */
  async record(
    drafts: readonly Draft[],
    after: (records: readonly LedgerRecord[]) => Promise<void> | void,
  ): Promise<void> {
    // An act that could not be recorded goes first: nothing may take its place and be recorded in its stead.
    await this.retry();
    if (this.#unrecorded !== null) return;
    this.#unrecorded = { drafts, after, scanned: this.#scanning };
    await this.retry();
  }

  async retry(): Promise<void> {
    const act = this.#unrecorded;
    if (act === null) return;
    let records: readonly LedgerRecord[];
    try {
      records = await this.#ledger.commit(act.drafts);
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      return this.show({ unrecorded: cause.trouble });
    }
    // From here on it is recorded: a store that cannot be read afterwards must not be told as «not recorded».
    this.#unrecorded = null;
    this.#commits += 1;
    this.#answered = { scanned: act.scanned, commit: this.#commits };
    this.#step(records);
    this.show({ unrecorded: null });
    this.#device.wakeSync();
    // The outbox is counted when the ledger tells of the change: the card must not wait for it.
    await act.after(records);
  }

  /** The operative walks away from an act that could not be recorded, knowing that it was not. */
  async forgetUnrecorded(): Promise<void> {
    this.#unrecorded = null;
    // A store that did not answer may have taken it after all: what is so is read, not assumed.
    await this.#reload();
    this.show({ unrecorded: null, screen: this.#restScreen() });
  }

  show(change: Partial<View>): void {
    this.#view = { ...this.#view, ...this.#benchView(), ...change, now: this.now() };
    for (const listener of this.#listeners) listener(this.#view);
  }

  showCard(card: PairCard): void {
    this.show({ screen: { is: 'card', card }, hint: null });
  }

  rest(): void {
    this.show({ screen: this.#restScreen() });
  }

  /** Called every few seconds: time passes on the screen, and whoever has gone drops off. */
  tick(): void {
    void this.#take(async () => {
      const { on, lastAt } = this.#bench;
      const quiet = on !== null && lastAt !== null && this.now() - lastAt > QUIET_MS;
      if (quiet && this.#unrecorded === null) {
        await this.record([badgedOff(this.making(), 'quiet')], () => this.rest());
      }
      this.show({});
    });
  }

  async setStages(stages: readonly StageCode[]): Promise<void> {
    if (stages.length === 0) return;
    await this.record([benchSet(this.making(), this.#inRouteOrder(stages))], async () => {
      await this.#ledger.remember({ stages: this.#bench.stages });
      this.rest();
    });
  }

  linkChanged(link: ServerLink): void {
    this.show({ link });
  }

  storageKnown(storage: Storage): void {
    this.show({ storage });
  }

  async #act(intent: Intent, code: Code, pair: PairState | null): Promise<void> {
    switch (intent.do) {
      case 'enrol':
        return this.#enrol(intent.token);
      case 'badge-on':
        return this.record([badgedOn(this.making(intent.operative))], () => {
          this.show({
            screen: { is: 'ready' },
            hint: { is: 'badged-on', name: this.#name(intent.operative) },
          });
        });
      case 'badge-off':
        return this.record([badgedOff(this.making(intent.operative), 'badge')], () => {
          this.show({
            screen: { is: 'nobody-on' },
            hint: { is: 'badged-off', name: this.#name(intent.operative) },
          });
        });
      case 'hand-over':
        return this.#handOver(intent.from, intent.to);
      case 'refuse':
        // A scan that means nothing never takes the card off the screen: work goes on as it stood.
        return this.show({
          hint: { is: 'refused', why: intent.why },
          keypadOpen: this.#view.keypadOpen && code.kind !== 'foreign',
        });
      default:
        return this.onPair?.(intent, pair);
    }
  }

  /** What a ticket's intent does; set by `pair-acts.ts`, which knows the card. */
  onPair: ((intent: PairIntent, pair: PairState | null) => Promise<void>) | null = null;

  #handOver(from: OperativeId, to: OperativeId): Promise<void> {
    const drafts = [badgedOff(this.making(from), 'hand-over'), badgedOn(this.making(to))];
    return this.record(drafts, () => {
      const open = this.#bench.open.length;
      this.show({
        screen: { is: 'ready' },
        hint: { is: 'handed-over', from: this.#name(from), to: this.#name(to), open },
      });
    });
  }

  async #enrol(token: string): Promise<void> {
    // A set-up card among the tickets must not turn a bench at work into another one.
    const { screen } = this.#view;
    if (screen.is !== 'enrol' && screen.is !== 'settings')
      return this.show({ hint: { is: 'set-up-in-settings' } });
    // Another bench's key could not bring in what this tablet still holds for the bench that it is now.
    const { waiting } = await this.#ledger.outbox();
    if (waiting > 0) return this.show({ screen: { is: 'enrol', state: 'records-wait' } });
    this.show({ screen: { is: 'enrol', state: 'asking' } });
    const outcome = await this.#device.enrol(token);
    if (outcome.is !== 'enrolled') return this.show({ screen: { is: 'enrol', state: outcome.is } });
    const other = this.#enrolment?.dataset !== outcome.settings.enrolment?.dataset;
    if (this.#enrolment !== null && other) await this.#ledger.startAnew();
    await this.#ledger.remember(outcome.settings);
    await this.#reload();
    const stages = outcome.settings.stages ?? [];
    if (stages.length > 0) await this.setStages(stages);
    this.show({ screen: stages.length > 0 ? this.#restScreen() : { is: 'settings' }, keypadOpen: false });
    this.#device.wakeSync();
  }

  async #reload(): Promise<void> {
    const settings = await this.#ledger.settings();
    this.#enrolment = settings.enrolment;
    if (settings.enrolment !== null) {
      const own = await this.#ledger.recordsOfBench(settings.enrolment.bench, this.now() - LOOK_BACK_MS);
      this.#bench = foldBench(own);
      this.#lastSeq = own.at(-1)?.seq ?? 0;
      if (this.#bench.stages.length === 0) this.#bench = { ...this.#bench, stages: settings.stages };
      await this.#dropEndedElsewhere(this.#bench.open.map(({ pair }) => pair));
    }
    this.show({ book: settings.book, readIn: settings.readIn, outbox: await this.#ledger.outbox() });
  }

  async #refreshSettings(): Promise<void> {
    const { book, readIn } = await this.#ledger.settings();
    const { hint } = this.#view;
    const stale = readIn && hint?.is === 'reading-in';
    this.show({ book, readIn, hint: stale ? null : hint, outbox: await this.#ledger.outbox() });
  }

  /** Another window or another bench wrote: fold what is on the screen anew. */
  async #othersWrote(pairs: readonly PairId[]): Promise<void> {
    await this.#catchUpWithOtherWindows();
    await this.#dropEndedElsewhere(pairs);
    const { screen } = this.#view;
    if (screen.is === 'card' && pairs.includes(screen.card.id)) {
      const pair = await this.pair(screen.card.id);
      const card = { ...screen.card, pair };
      const news = unseenNotes(card, this.#bench.on).length > 0;
      this.show({ screen: { is: 'card', card }, ...(news ? { hint: null } : {}) });
    }
    // A book is long to read, and what touches pairs is no change of it.
    if (pairs.length === 0) return this.#refreshSettings();
    this.show({ outbox: await this.#ledger.outbox() });
  }

  /** Who is on may have changed in another window of this tablet: nothing may be booked to who was on before. */
  async #catchUpWithOtherWindows(): Promise<void> {
    if (this.#enrolment === null) return;
    const since = Math.min(this.#bench.lastAt ?? 0, this.now()) - MINUTE_MS;
    const recent = await this.#ledger.recordsOfBench(this.#enrolment.bench, since);
    if (!recent.some(({ seq }) => seq > this.#lastSeq)) return;
    await this.#reload();
    const { screen } = this.#view;
    const stale = screen.is === 'ready' || screen.is === 'nobody-on';
    if (stale) this.show({ screen: this.#restScreen() });
  }

  async #dropEndedElsewhere(pairs: readonly PairId[]): Promise<void> {
    for (const id of new Set(pairs)) {
      if (!this.#bench.open.some(({ pair }) => pair === id)) continue;
      const state = foldPair(id, await this.#ledger.recordsOfPair(id));
      const stillOpen = new Set(
        state.spells.filter(({ outcome }) => outcome === 'open').map((spell) => spell.id),
      );
      this.#bench = {
        ...this.#bench,
        open: this.#bench.open.filter(({ pair, spell }) => pair !== id || stillOpen.has(spell)),
      };
    }
  }

  #step(records: readonly LedgerRecord[]): void {
    const takesBack = records.some(({ kind }) => kind === 'voided');
    this.#lastSeq = records.at(-1)?.seq ?? this.#lastSeq;
    if (!takesBack) this.#bench = records.reduce(stepBench, this.#bench);
  }

  /** After a taking-back the bench is folded from its records, not stepped. */
  async refold(): Promise<void> {
    await this.#reload();
  }

  #benchNow() {
    const bench = this.#enrolment?.bench ?? ('' as Enrolment['bench']);
    return { bench, stages: this.#enrolment === null ? [] : this.#bench.stages, on: this.#bench.on };
  }

  #restScreen(): Screen {
    if (this.#bench.stages.length === 0) return { is: 'settings' };
    return this.#bench.on === null ? { is: 'nobody-on' } : { is: 'ready' };
  }

  #benchView(): Pick<View, 'stages' | 'on' | 'open' | 'doneThisShift' | 'doneLast' | 'benchName' | 'clock'> {
    const { stages, on, open, done } = this.#bench;
    const { offsetMs, known } = this.#device.wall();
    const doneThisShift = done.filter(({ by, at }) => by === on && at >= this.#shiftFrom());
    return {
      stages,
      open,
      benchName: this.#enrolment?.name ?? '',
      clock: { offsetMs, known },
      on: on === null ? null : { id: on, name: this.#name(on) },
      doneThisShift: doneThisShift.length,
      doneLast: doneThisShift.slice(-DONE_SHOWN).reverse(),
    };
  }

  #shiftFrom(): Instant {
    const now = this.now();
    const shift = this.#view.book === null ? null : shiftAt(this.#view.book, now);
    return shift?.from ?? now - DAY_MS / 2;
  }

  #name(operative: OperativeId): string {
    const { book } = this.#view;
    return (book === null ? null : nameOf(book, operative)) ?? operative;
  }

  #inRouteOrder(stages: readonly StageCode[]): readonly StageCode[] {
    const order = this.#view.book?.stages.map(({ code }) => code) ?? [];
    return [...stages].sort((a, b) => order.indexOf(a) - order.indexOf(b));
  }

  #take(act: () => Promise<void>): Promise<void> {
    const done = this.#queue.then(act).catch((cause: unknown) => {
      // A mistake of ours must not leave a screen standing that looks as if all were well.
      const trouble = cause instanceof LedgerFailure ? cause.trouble : 'stuck';
      this.show({ screen: { is: 'broken', trouble } });
      if (!(cause instanceof LedgerFailure)) throw cause;
    });
    this.#queue = done.catch(() => undefined);
    return done;
  }
}

export type PairIntent = Extract<Intent, { do: 'clock-in' | 'clock-out' | 'see-notes' | 'stopped' | 'ask' }>;

function firstView(now: Instant): View {
  return {
    screen: { is: 'starting' },
    hint: null,
    unrecorded: null,
    book: null,
    readIn: false,
    benchName: '',
    stages: [],
    on: null,
    open: [],
    doneThisShift: 0,
    doneLast: [],
    outbox: { waiting: 0, oldestAt: null, refused: 0 },
    link: { is: 'not-tried', why: null, lastAt: null },
    storage: 'cannot-say',
    clock: { offsetMs: 0, known: false },
    updateReady: false,
    keypadOpen: false,
    now,
  };
}

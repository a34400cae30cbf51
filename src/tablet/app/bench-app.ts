/**
 * The bench: takes scans and taps one at a time, asks the domain what they mean, has the ledger make the records,
 * and shows what is so.
 *
 * 1. Acts are taken strictly one after the other; a scan that comes while another is being recorded waits its turn.
 * 2. The view says that something is recorded only after `ledger.commit` has resolved.
 * 3. When it rejects, the view says so and keeps the act, so that «try again» makes the very same records.
 */

import type { Place } from '../../domain/begin.ts';
import { type Code, classify, type ScanSource } from '../../domain/code.ts';
import { draft, type Making } from '../../domain/drafts.ts';
import type { Placed } from '../../domain/fold/order.ts';
import { foldPair } from '../../domain/fold/pair.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../../domain/ids.ts';
import { DAY_MS, type Instant, MINUTE_MS } from '../../domain/instant.ts';
import { type BenchNow, type Intent, intentOf } from '../../domain/intent.ts';
import { type Draft, type LedgerRecord, pairOf } from '../../domain/record/kinds.ts';
import { holderOfHash, nameOf, shiftAt } from '../../domain/site-book.ts';
import { type Enrolment, LedgerFailure, type TabletLedger } from '../ledger/ledger.ts';
import { isStopped, unseenNotes } from './bar-parts.ts';
import { firstView } from './first-view.ts';
import { OwnBench } from './own-bench.ts';
import { holderOfLast, machinesOutOfUse, placeOf } from './place-here.ts';
import { type RecordedAct, Recorder } from './recorder.ts';
import { awaitingOf, cardToRack, nameOfCode } from './scan-meaning.ts';
import type { EnrolOutcome, PairCard, Screen, ServerLink, Storage, View } from './screen.ts';

/** Nobody has scanned for so long: whoever was on has surely gone. */
export const QUIET_MS = 60 * MINUTE_MS;
/** How many of the pairs done last are listed. */
const DONE_SHOWN = 6;

export interface BenchDevice {
  readonly wall: () => Making['wall'];
  readonly newId: () => RecordId;
  /** The `codeHash` of a badge, by the device's own means. */
  readonly codeHash: (token: string) => Promise<string>;
  /** Presents a set-up code to the server. */
  readonly enrol: (token: string) => Promise<EnrolOutcome>;
  /** Something waits for the server. */
  readonly wakeSync: () => void;
  /** Fetches all that the server holds of a pair; false where it cannot be reached in a moment. */
  readonly fetchPair?: (pair: PairId) => Promise<boolean>;
  /** Photographs that the server does not hold yet. */
  readonly photosWaiting?: () => Promise<number>;
  /** Runs an act while no other window of this tablet runs one. */
  readonly alone?: (act: () => Promise<void>) => Promise<void>;
}

export class BenchApp {
  readonly ledger: TabletLedger;
  readonly #device: BenchDevice;
  readonly #recorder: Recorder;
  readonly #listeners = new Set<(view: View) => void>();
  #view: View;
  readonly #own: OwnBench;
  #queue: Promise<void> = Promise.resolve();
  /** Lets the scans in that wait for the start; null once they are. */
  #letIn: (() => void) | null = null;
  readonly #started = new Promise<void>((resolve) => {
    this.#letIn = () => {
      this.#letIn = null;
      resolve();
    };
  });
  #placed: readonly Placed[] = [];
  #scanning: string | null = null;

  constructor(ledger: TabletLedger, device: BenchDevice) {
    this.ledger = ledger;
    this.#own = new OwnBench(ledger);
    this.#device = device;
    this.#view = firstView(this.now());
    this.#recorder = new Recorder(ledger, {
      onTrouble: (unrecorded) => this.show({ unrecorded }),
      onRecorded: (records) => {
        this.#own.step(records);
        this.show({ unrecorded: null });
        // The outbox is counted when the ledger tells of the change: the card must not wait for it.
        this.#device.wakeSync();
      },
    });
    ledger.watch((pairs) => this.#take(() => this.#othersWrote(pairs)));
  }

  get view(): View {
    return this.#view;
  }

  get enrolment(): Enrolment | null {
    return this.#own.enrolment;
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
    const started = this.#take(async () => {
      await this.#reload();
      const screen: Screen =
        this.#own.enrolment === null ? { is: 'enrol', state: 'waiting' } : this.#restScreen();
      this.show({ screen });
    });
    this.#letIn?.();
    return started;
  }

  scan(text: string, source: ScanSource): Promise<void> {
    const commitsWhenHeard = this.#recorder.commits;
    // A scanner may be quicker than the page: what it sends before the bench knows itself waits its turn.
    return this.#afterStart(async () => {
      await this.retry();
      if (this.#recorder.waits) return;
      const code = classify(text, source, this.#view.book?.ticketPattern ?? null);
      const name = nameOfCode(code);
      // Scanned again before the first scan was shown as recorded: it is the same act, not its opposite.
      if (name !== null && this.#recorder.answeredSince(commitsWhenHeard, name)) return;
      const { book } = this.#view;
      const holder =
        code.kind === 'badge' && book !== null
          ? holderOfHash(book, await this.#device.codeHash(code.token))
          : null;
      const reads = code.kind === 'ticket' || code.kind === 'rack';
      if (reads && !this.#view.readIn) return this.show({ hint: { is: 'reading-in' } });
      // Another window of this tablet may have recorded something since.
      await this.#catchUpWithOtherWindows();
      const pair = code.kind === 'ticket' ? await this.#pairOrFetched(code.pair) : null;
      const now = this.benchNow(await this.placeFor(pair));
      this.show({ hint: null });
      this.#scanning = name;
      try {
        await this.#act(intentOf({ code, holder, pair }, now), code, pair);
      } finally {
        this.#scanning = null;
      }
    });
  }

  async #afterStart(act: () => Promise<void>): Promise<void> {
    if (this.#letIn !== null) await this.#started;
    return this.#take(act);
  }

  /** Runs a tap's act in its turn; `pair-acts.ts` and its like hold what the taps do. */
  tap(act: () => Promise<void> | void): Promise<void> {
    return this.#take(async () => {
      await act();
    });
  }

  /** A pair that this tablet does not hold, or only in part, is asked for where the server can be reached. */
  async #pairOrFetched(id: PairId): Promise<PairState | null> {
    const held = await this.pair(id);
    if (held?.logged != null || !(await this.#device.fetchPair?.(id))) return held;
    return this.pair(id);
  }

  /** The folded pair, or null where this tablet has no record of it. */
  async pair(id: PairId): Promise<PairState | null> {
    this.#placed = await this.ledger.recordsOfPair(id);
    return this.#placed.length === 0 ? null : foldPair(id, this.#placed);
  }

  /** The pair as folded with records that have just been made, without reading the store again. */
  pairWith(id: PairId, made: readonly LedgerRecord[]): PairState {
    return foldPair(id, [
      ...this.#placed.filter(({ record }) => pairOf(record) === id),
      ...made.map((record) => ({ record, pos: null, epoch: null })),
    ]);
  }

  making(by: OperativeId | null = this.#own.state.on): Making {
    if (this.#own.enrolment === null)
      throw new Error('a record was to be made before the tablet was enrolled');
    const { site, bench } = this.#own.enrolment;
    return { site, bench, by, wall: this.#device.wall(), newId: this.#device.newId };
  }

  /** Makes the records, and only then goes on to `after`, which says so. */
  record(
    drafts: readonly Draft[],
    after: RecordedAct['after'],
    instead?: RecordedAct['instead'],
  ): Promise<void> {
    return this.#recorder.record({ drafts, after, scanned: this.#scanning, instead });
  }

  retry(): Promise<void> {
    return this.#recorder.retry();
  }

  /** The operative walks away from an act that could not be recorded, knowing that it was not. */
  async forgetUnrecorded(): Promise<void> {
    this.#recorder.forget();
    // A store that did not answer may have taken it after all: what is so is read, not assumed.
    await this.#reload();
    this.show({ unrecorded: null, screen: this.#restScreen() });
  }

  show(change: Partial<View>): void {
    this.#view = { ...this.#view, ...this.#benchView(), ...change, now: this.now() };
    for (const listener of this.#listeners) listener(this.#view);
  }

  showCard(card: PairCard): void {
    this.show({ screen: { is: 'card', card }, hint: null, finding: false });
  }

  /** From here on scans only say where a pair is, or they mean work again. */
  find(finding: boolean): void {
    this.show({ finding, hint: null, screen: this.#restScreen() });
  }

  rest(): void {
    this.show({ screen: this.#restScreen() });
  }

  /** Called every few seconds: time passes on the screen, and whoever has gone drops off. */
  tick(): void {
    void this.#take(async () => {
      const { on, lastAt } = this.#own.state;
      const quiet = on !== null && lastAt !== null && this.now() - lastAt > QUIET_MS;
      if (quiet && !this.#recorder.waits) {
        await this.record([draft(this.making(), 'badged-off', { why: 'quiet' })], () => this.rest());
      }
      this.show({});
    });
  }

  async setStages(stages: readonly StageCode[]): Promise<void> {
    if (stages.length === 0) return;
    const inOrder = [...this.#inRouteOrder(stages)];
    await this.record([draft(this.making(), 'bench-set', { stages: inOrder })], async () => {
      await this.readMachines();
      await this.ledger.remember({ stages: this.#own.state.stages });
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
        return this.record([draft(this.making(intent.operative), 'badged-on', {})], () => {
          this.show({
            screen: { is: 'ready' },
            hint: { is: 'badged-on', name: this.name(intent.operative) },
            finding: false,
          });
        });
      case 'badge-off':
        return this.record([draft(this.making(intent.operative), 'badged-off', { why: 'badge' })], () => {
          this.show({
            screen: { is: 'nobody-on' },
            hint: { is: 'badged-off', name: this.name(intent.operative) },
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
    const drafts = [
      draft(this.making(from), 'badged-off', { why: 'hand-over' }),
      draft(this.making(to), 'badged-on', {}),
    ];
    return this.record(drafts, () => {
      const open = this.#own.state.open.length;
      this.show({
        screen: { is: 'ready' },
        hint: { is: 'handed-over', from: this.name(from), to: this.name(to), open },
        finding: false,
      });
    });
  }

  async #enrol(token: string): Promise<void> {
    // A set-up card among the tickets must not turn a bench at work into another one.
    const { screen } = this.#view;
    if (screen.is !== 'enrol' && screen.is !== 'settings')
      return this.show({ hint: { is: 'set-up-in-settings' } });
    // Another bench's key could not bring in what this tablet still holds for the bench that it is now.
    const { waiting, refused } = await this.ledger.outbox();
    const photos = (await this.#device.photosWaiting?.()) ?? 0;
    if (waiting + photos > 0) return this.show({ screen: { is: 'enrol', state: 'records-wait' } });
    this.show({ screen: { is: 'enrol', state: 'asking' } });
    const outcome = await this.#device.enrol(token);
    if (outcome.is !== 'enrolled') return this.show({ screen: { is: 'enrol', state: outcome.is } });
    const other = this.#own.enrolment?.dataset !== outcome.settings.enrolment?.dataset;
    if (this.#own.enrolment !== null && other) {
      // Going to another body of data forgets everything here, and what the server would not take is nowhere else.
      if (refused > 0) return this.show({ screen: { is: 'enrol', state: 'refused-kept' } });
      await this.ledger.startAnew();
    }
    await this.ledger.remember(outcome.settings);
    await this.#reload();
    const stages = outcome.settings.stages ?? [];
    if (stages.length > 0) await this.setStages(stages);
    this.show({ screen: stages.length > 0 ? this.#restScreen() : { is: 'settings' }, keypadOpen: false });
    this.#device.wakeSync();
  }

  async #reload(): Promise<void> {
    const { book, readIn } = await this.#own.read(this.now());
    await this.readMachines();
    this.show({ book, readIn, outbox: await this.ledger.outbox() });
  }

  async #refreshSettings(): Promise<void> {
    const { book, readIn } = await this.ledger.settings();
    const { hint } = this.#view;
    const stale = readIn && hint?.is === 'reading-in';
    await this.readMachines();
    this.show({ book, readIn, hint: stale ? null : hint, outbox: await this.ledger.outbox() });
  }

  /** Another window or another bench wrote: fold what is on the screen anew. */
  async #othersWrote(pairs: readonly PairId[]): Promise<void> {
    await this.#catchUpWithOtherWindows();
    await this.#own.dropEndedElsewhere(pairs);
    const { screen } = this.#view;
    if (screen.is === 'card' && pairs.includes(screen.card.id)) {
      const pair = await this.pair(screen.card.id);
      const card = { ...screen.card, pair };
      const stopped = isStopped(card) && !isStopped(screen.card);
      const news = stopped || unseenNotes(card, this.#own.state.on).length > 0;
      const shown = stopped ? { ...card, choosing: null } : card;
      this.show({ screen: { is: 'card', card: shown }, ...(news ? { hint: null } : {}) });
    }
    // A book is long to read, and what touches pairs is no change of it.
    if (pairs.length === 0) return this.#refreshSettings();
    // What is told of a machine comes in one pull with what is told of pairs.
    await this.readMachines();
    this.show({ outbox: await this.ledger.outbox() });
  }

  /** Who is on may have changed in another window of this tablet: nothing may be booked to who was on before. */
  async #catchUpWithOtherWindows(): Promise<void> {
    if (!(await this.#own.isBehind(this.now()))) return;
    await this.#reload();
    const { screen } = this.#view;
    const stale = screen.is === 'ready' || screen.is === 'nobody-on';
    if (stale) this.show({ screen: this.#restScreen() });
  }

  /** After a taking-back the bench is folded from its records, not stepped. */
  async refold(): Promise<void> {
    await this.#reload();
  }

  /** Which machines may not be run here; any bench or desk may have said so. */
  async readMachines(): Promise<void> {
    if (this.#own.enrolment === null) return;
    const outOfUse = await machinesOutOfUse(this.ledger, this.#own.enrolment.bench, this.#own.state.stages);
    this.show({ outOfUse });
  }

  /** What this bench knows besides the pair's own records. */
  async placeFor(pair: PairState | null): Promise<Place> {
    const { book, outOfUse } = this.#view;
    const { on, reminded, stages } = this.#own.state;
    const lastFrom = book?.ways.lastFrom ?? null;
    const asksForLast = pair !== null && lastFrom !== null && stages.includes(lastFrom);
    return placeOf({
      bench: this.#own.enrolment?.bench ?? ('' as Enrolment['bench']),
      book,
      on,
      reminded,
      outOfUse,
      lastHolder: asksForLast ? await holderOfLast(this.ledger, pair) : null,
      now: this.now(),
    });
  }

  /** When the shift began, or null between shifts. */
  shiftFrom(): Instant | null {
    const { book } = this.#view;
    return (book === null ? null : shiftAt(book, this.now()))?.from ?? null;
  }

  benchNow(place: Place): BenchNow {
    const shiftFrom = this.shiftFrom();
    const { screen, finding } = this.#view;
    return {
      ...place,
      stages: this.#own.enrolment === null ? [] : this.#own.state.stages,
      on: this.#own.state.on,
      card: cardToRack(screen, this.now()),
      ...(shiftFrom === null ? {} : { shiftFrom }),
      awaiting: awaitingOf(screen),
      finding,
    };
  }

  #restScreen(): Screen {
    if (this.#own.state.stages.length === 0) return { is: 'settings' };
    return this.#own.state.on === null ? { is: 'nobody-on' } : { is: 'ready' };
  }

  #benchView(): Pick<View, 'stages' | 'on' | 'open' | 'doneThisShift' | 'doneLast' | 'benchName' | 'clock'> {
    const { stages, on, open, done } = this.#own.state;
    const { offsetMs, known } = this.#device.wall();
    const doneThisShift = done.filter(({ by, at }) => by === on && at >= this.#tallyFrom());
    return {
      stages,
      open,
      benchName: this.#own.enrolment?.name ?? '',
      clock: { offsetMs, known },
      on: on === null ? null : { id: on, name: this.name(on) },
      doneThisShift: doneThisShift.length,
      doneLast: doneThisShift.slice(-DONE_SHOWN).reverse(),
    };
  }

  #tallyFrom(): Instant {
    return this.shiftFrom() ?? this.now() - DAY_MS / 2;
  }

  name(operative: OperativeId): string {
    const { book } = this.#view;
    return (book === null ? null : nameOf(book, operative)) ?? operative;
  }

  #inRouteOrder(stages: readonly StageCode[]): readonly StageCode[] {
    const order = this.#view.book?.stages.map(({ code }) => code) ?? [];
    return [...stages].sort((a, b) => order.indexOf(a) - order.indexOf(b));
  }

  #take(act: () => Promise<void>): Promise<void> {
    const { alone } = this.#device;
    const run = alone === undefined ? act : () => alone(act);
    const done = this.#queue.then(run).catch((cause: unknown) => {
      // A mistake of ours must not leave a screen standing that looks as if all were well.
      const trouble = cause instanceof LedgerFailure ? cause.trouble : 'stuck';
      this.show({ screen: { is: 'broken', trouble } });
      if (!(cause instanceof LedgerFailure)) throw cause;
    });
    this.#queue = done.catch(() => undefined);
    return done;
  }
}

/** What `pair-acts.ts` does; the rest is about who is on and what this tablet is. */
export type PairIntent = Exclude<Intent, { do: 'enrol' | 'badge-on' | 'badge-off' | 'hand-over' | 'refuse' }>;

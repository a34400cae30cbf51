/**
 * The loop that carries records to the server and everybody's back. It owns no time, no network and no chance: they
 * are handed in, so that a test can say what each of them does.
 *
 *                 ┌────────── more was made meanwhile ──────────┐
 *                 ▼                                             │
 *   start ──► meeting ──► pushing ──► pulling ──► book ──► (settled) ──► resting
 *                 ▲         │ ▲          │ ▲                               │
 *                 │         └─┘          └─┘            wake, or time ─────┤
 *                 │      next batch    next page                           │
 *                 ├────────────────────────────────────────────────────────┤
 *                 ├──── backing off ◄── no answer, busy, fault             │
 *                 ├──── paused ◄─────── 401, 403: kept, tried again later ─┘
 *               stopped ◄──────────── another body of data answers
 *
 * 1. Nothing is sent before the server has said, in this contact, that it holds our body of data (*meeting*).
 * 2. A record leaves the outbox by the server's word for its id, never because a request came back with 200.
 * 3. Rows and the cursor that they lead to are the ledger's one transaction; a lost answer is asked for again.
 * 4. A batch on which the server fails is halved until the record is found, and that one is passed over.
 * 5. One request is under way at a time.
 * 6. Where the server hands out parts, a new tablet reads a snapshot and pulls on from there, and a pair that is told of
 *    and not held is asked for whole before the page that tells of it is written.
 */
import { believedOffset, type OffsetSample, sampleOffset } from '../../domain/clock-offset.ts';
import { CURSOR_START, placeOf } from '../../domain/cursor.ts';
import type { BenchId, Cursor, RecordId } from '../../domain/ids.ts';
import { type Instant, MINUTE_MS } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import type { LedgerState } from '../../wire/ledger-state.ts';
import { type PushAnswer, RECORD_BYTES_MAX } from '../../wire/push.ts';
import type { RefusalKind } from '../../wire/refusal.ts';
import { LedgerFailure, type TabletLedger } from '../ledger/ledger.ts';
import { backoffMs } from './backoff.ts';
import { Batches, bytesOf } from './batch.ts';
import { Resting, type WakeReason } from './resting.ts';
import type { Answer, PartsServer, Server } from './server.ts';
import { pairsWithoutLogging, SnapshotReading } from './snapshot.ts';
import { type ServerState, STATUS_AT_START, type SyncStatus, withoutAnswer } from './status.ts';

export interface SyncEffects {
  readonly ledger: TabletLedger;
  readonly server: Server;
  /** Without it all of the server's history is read. */
  readonly parts?: PartsServer;
  readonly enrolment: { readonly bench: BenchId; readonly dataset: string };
  readonly clock: {
    /** The tablet's own clock. */
    now(): Instant;
    samples(): readonly OffsetSample[];
    learn(sample: OffsetSample): void;
  };
  /** Resolves after so many milliseconds, or when the signal is aborted. */
  readonly sleep: (ms: number, signal: AbortSignal) => Promise<void>;
  /** 0 to 1. */
  readonly random: () => number;
  /** How long to rest when all is settled: short while no live stream tells of news. */
  readonly restMs: () => number;
}

/** Polling alone must do where there is no live stream. */
export const POLL_MS = 15_000;
export const POLL_BESIDE_LIVE_MS = MINUTE_MS;
/** A tablet that the server would not have asks again so often. */
export const PAUSE_MS = 5 * MINUTE_MS;
/** The offset is remembered when what is believed has moved by so much. */
const OFFSET_WORTH_KEEPING_MS = 50;

/** How a round, or a step of it, ended. */
type End =
  | { readonly is: 'settled' }
  | { readonly is: 'failed'; readonly server: ServerState; readonly retryAfterMs: number | null }
  | { readonly is: 'paused'; readonly why: RefusalKind }
  | { readonly is: 'stopped' };

interface More {
  readonly is: 'more';
}

const MORE: More = { is: 'more' };
const NOT_FOUND = 404;
const SETTLED: End = { is: 'settled' };
const STOPPED: End = { is: 'stopped' };
const FAULT: End = { is: 'failed', server: { is: 'unreachable', why: 'fault' }, retryAfterMs: null };

export class SyncLoop {
  readonly #effects: SyncEffects;
  readonly #batches = new Batches();
  readonly #listeners = new Set<(status: SyncStatus) => void>();
  #status: SyncStatus = STATUS_AT_START;
  readonly #resting: Resting;
  #met = false;
  #failures = 0;
  #withoutConnectionSince: Instant | null = null;
  #waitingWhenResting = 0;
  #cursor: Cursor = CURSOR_START;
  #epoch: string | null = null;
  #bookVersion: number | null = null;
  #readIn = false;
  /** Null where the server has no snapshots. */
  #snapshot: SnapshotReading | null;
  #offsetKept: number | null = null;
  /** What the server said to hold when records were last offered again: not to be believed twice. */
  #offeredAgainFor: string | null = null;

  constructor(effects: SyncEffects) {
    this.#effects = effects;
    this.#resting = new Resting(effects.sleep);
    const { ledger, parts } = effects;
    this.#snapshot = parts === undefined ? null : new SnapshotReading(ledger, parts);
    this.#status = { ...STATUS_AT_START, clockOffset: believedOffset(effects.clock.samples()) };
  }

  get status(): SyncStatus {
    return this.#status;
  }

  watch(onStatus: (status: SyncStatus) => void): () => void {
    this.#listeners.add(onStatus);
    return () => this.#listeners.delete(onStatus);
  }

  /** Goes at once where it would rest. A server that asked for time, or would not have us, is not pressed. */
  wake(reason: WakeReason): void {
    this.#resting.wake(reason);
  }

  /** Runs until `signal` is aborted, or until another body of data answers. */
  async run(signal: AbortSignal): Promise<void> {
    const unwatch = this.#effects.ledger.watch(() => void this.#noticeRecords());
    try {
      while (!signal.aborted) {
        this.#resting.over();
        const end = await this.#roundOrTrouble(signal);
        if (signal.aborted) return;
        if (end.is === 'stopped') return this.#show({ server: { is: 'stopped', why: 'other-dataset' } });
        await this.#restAfter(end, signal);
      }
    } finally {
      unwatch();
    }
  }

  async #restAfter(end: Exclude<End, { is: 'stopped' }>, signal: AbortSignal): Promise<void> {
    const { random, restMs } = this.#effects;
    const needless = async () => {
      this.#waitingWhenResting = await this.#countWaiting();
      return end.is === 'settled' && this.#madeMeanwhile();
    };
    if (end.is === 'settled') {
      this.#failures = 0;
      this.#show({ server: { is: 'reached' }, ledger: null });
      return this.#resting.rest({ ms: restMs(), mayWake: () => true, needless }, signal);
    }
    if (end.is === 'paused') {
      this.#met = false;
      this.#show({ server: { is: 'paused', why: end.why } });
      const mayWake = (reason: WakeReason) => reason !== 'record' && reason !== 'live';
      return this.#resting.rest({ ms: PAUSE_MS, mayWake, needless }, signal);
    }
    this.#failures += 1;
    this.#show({ server: end.server });
    const asked = end.retryAfterMs;
    const ms = (asked ?? 0) + backoffMs(asked === null ? this.#failures : 1, random());
    const mayWake = (reason: WakeReason) => asked === null || reason === 'asked';
    return this.#resting.rest({ ms, mayWake, needless }, signal);
  }

  /** A record was made here or in another window; the loop's own writes are told too and wake nobody. */
  async #noticeRecords(): Promise<void> {
    if (!this.#resting.now) return;
    const waiting = await this.#countWaiting();
    if (waiting > this.#waitingWhenResting && this.#resting.now) this.#resting.wake('record');
    this.#waitingWhenResting = waiting;
  }

  /** A record made as the round ended is reason to go on at once. */
  async #madeMeanwhile(): Promise<boolean> {
    try {
      return (await this.#batches.next(this.#effects.ledger, this.#effects.clock.now())).length > 0;
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      return false;
    }
  }

  async #countWaiting(): Promise<number> {
    try {
      return (await this.#effects.ledger.outbox()).waiting;
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      return this.#waitingWhenResting;
    }
  }

  async #roundOrTrouble(signal: AbortSignal): Promise<End> {
    try {
      return await this.#round(signal);
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      this.#show({ ledger: cause.trouble });
      return { is: 'failed', server: this.#status.server, retryAfterMs: null };
    }
  }

  async #round(signal: AbortSignal): Promise<End> {
    const { ledger } = this.#effects;
    const settings = await ledger.settings();
    this.#cursor = settings.cursor;
    this.#epoch = settings.epoch;
    this.#bookVersion = settings.book?.version ?? null;
    this.#readIn = settings.readIn;
    if (!this.#met) {
      const end = await this.#nextPage(signal);
      if (end.is !== 'settled' && end.is !== 'more') return end;
    }
    const pushed = await this.#push(signal);
    // A server that fails on what it is sent may still have something for us.
    if (pushed.is !== 'settled' && pushed !== FAULT) return pushed;
    const pulled = await this.#pull(signal);
    if (pulled.is !== 'settled') return pulled;
    return pushed;
  }

  async #push(signal: AbortSignal): Promise<End> {
    const { ledger, server, clock } = this.#effects;
    while (!signal.aborted) {
      const batch = await this.#batches.next(ledger, clock.now());
      if (batch.length === 0) return SETTLED;
      const answer = await server.push(batch, signal);
      if (answer.is === 'answer') {
        if (!(await this.#accept(answer))) return STOPPED;
        if (!(await this.#settle(batch, answer.body.answers))) return FAULT;
        this.#batches.went(batch);
        this.#failures = 0;
      } else if (answer.is === 'too-large') {
        if (!(await this.#divideTooLarge(batch))) return FAULT;
      } else if (answer.is === 'fault') {
        this.#batches.failed(batch, clock.now());
        this.#show({ heldUp: this.#batches.passedOver });
        return FAULT;
      } else {
        return this.#endOf(answer);
      }
    }
    return SETTLED;
  }

  /** @returns false when the server has said nothing about any record of the batch */
  async #settle(batch: readonly LedgerRecord[], answers: PushAnswer['answers']): Promise<boolean> {
    const confirmed: RecordId[] = [];
    const refused: { readonly id: RecordId; readonly reasons: readonly string[] }[] = [];
    for (const { id, index, answer, reasons } of answers) {
      const record = batch[index];
      // An id that is not the one asked about would settle the wrong record.
      if (record === undefined || (id !== null && id !== record.id)) continue;
      if (answer === 'refused') refused.push({ id: record.id, reasons });
      else confirmed.push(record.id);
    }
    if (confirmed.length > 0) await this.#effects.ledger.confirm(confirmed);
    if (refused.length > 0) await this.#effects.ledger.refuse(refused);
    return confirmed.length + refused.length > 0;
  }

  /**
   * What the server is known not to take is kept aside. Anything smaller was turned away by somebody in between, who
   * has no say in what becomes of a record: it is passed over, and offered again.
   * @returns whether there is something to go on with
   */
  async #divideTooLarge(batch: readonly LedgerRecord[]): Promise<boolean> {
    const [record] = batch;
    if (batch.length === 1 && record !== undefined && bytesOf(record) > RECORD_BYTES_MAX) {
      const reasons = ['record: is too large for the server'];
      await this.#effects.ledger.refuse([{ id: record.id, reasons }]);
      return true;
    }
    this.#batches.failed(batch, this.#effects.clock.now());
    this.#show({ heldUp: this.#batches.passedOver });
    return batch.length > 1;
  }

  async #pull(signal: AbortSignal): Promise<End> {
    while (!signal.aborted) {
      const end = await this.#nextPage(signal);
      if (end.is !== 'more') return end;
    }
    return SETTLED;
  }

  #nextPage(signal: AbortSignal): Promise<End | More> {
    const isNew = !this.#readIn && this.#cursor === CURSOR_START;
    return isNew && this.#snapshot !== null
      ? this.#snapshotPage(this.#snapshot, signal)
      : this.#pullPage(signal);
  }

  async #snapshotPage(snapshot: SnapshotReading, signal: AbortSignal): Promise<End | More> {
    const answer = await snapshot.ask(signal);
    if (answer.is === 'fault' && answer.status === NOT_FOUND) {
      // An older server: it is read from the start.
      this.#snapshot = null;
      return MORE;
    }
    if (answer.is !== 'answer') return this.#endOf(answer);
    if (!(await this.#accept(answer))) return STOPPED;
    const led = await snapshot.take(answer.body, signal);
    if (led === 'nowhere') return FAULT;
    if (led !== null) this.#cursor = led;
    return MORE;
  }

  /** Pairs that are told of and not held are asked for whole. */
  async #fetchStrangers(
    records: readonly { readonly record: unknown }[],
    epoch: string,
    signal: AbortSignal,
  ): Promise<End> {
    const { ledger, parts } = this.#effects;
    if (parts === undefined) return SETTLED;
    for (const pair of await ledger.notHeld(pairsWithoutLogging(records), epoch)) {
      const answer = await parts.pair(pair, signal);
      if (answer.is === 'fault' && answer.status === NOT_FOUND) continue;
      if (answer.is !== 'answer') return this.#endOf(answer);
      if (!(await this.#accept(answer))) return STOPPED;
      if (this.#epoch !== epoch) return SETTLED;
      await ledger.place(answer.body.records, epoch);
    }
    return SETTLED;
  }

  async #pullPage(signal: AbortSignal): Promise<End | More> {
    const { ledger, server } = this.#effects;
    const asked = this.#cursor;
    const answer = await server.pull(asked, signal);
    if (answer.is !== 'answer') return this.#endOf(answer);
    const { state, records, cursor, more } = answer.body;
    if (!(await this.#accept(answer))) return STOPPED;
    // A page that leads nowhere: it would be asked for for ever, or its records could have no place.
    const leadsNowhere = records.length === 0 ? more && cursor === asked : placeOf(cursor) === null;
    if (leadsNowhere) return FAULT;
    const fetched = await this.#fetchStrangers(records, placeOf(cursor)?.epoch ?? '', signal);
    if (fetched.is !== 'settled') return fetched;
    // The epoch changed in between: the page belongs to the one before.
    if (state.epoch !== this.#epoch) return MORE;
    if (records.length > 0 || cursor !== this.#cursor) await ledger.apply(records, cursor);
    this.#cursor = cursor;
    if (more) return MORE;
    if (!this.#readIn) await this.#noteReadIn();
    if (await this.#offerAgain(state)) this.wake('record');
    return state.book === this.#bookVersion ? SETTLED : this.#fetchBook(signal);
  }

  /** Said once in the tablet's life: from now on it knows every pair that the server knew. */
  async #noteReadIn(): Promise<void> {
    const { ledger } = this.#effects;
    await ledger.remember({ readIn: true });
    this.#readIn = true;
  }

  async #fetchBook(signal: AbortSignal): Promise<End> {
    const answer = await this.#effects.server.site(signal);
    if (answer.is !== 'answer') return this.#endOf(answer);
    if (!(await this.#accept(answer))) return STOPPED;
    this.#bookVersion = answer.body.book.version;
    await this.#effects.ledger.remember({ book: answer.body.book });
    return SETTLED;
  }

  /**
   * Takes in what every answer says about the server's ledger.
   * @returns false when it is another body of data
   */
  async #accept(answer: {
    readonly body: { readonly state: LedgerState };
    readonly sentAt: Instant;
    readonly arrivedAt: Instant;
  }): Promise<boolean> {
    const { ledger, enrolment } = this.#effects;
    const { state } = answer.body;
    if (state.dataset !== enrolment.dataset) return false;
    this.#met = true;
    this.#withoutConnectionSince = null;
    await this.#learnOffset(state, answer);
    if (state.epoch !== this.#epoch) {
      // What the restored server has lost is found when all of it has been read: see `serverHolds`.
      await ledger.remember({ epoch: state.epoch, cursor: CURSOR_START });
      this.#epoch = state.epoch;
      this.#cursor = CURSOR_START;
    }
    return true;
  }

  async #learnOffset(
    { clock: theirs }: LedgerState,
    { sentAt, arrivedAt }: { sentAt: Instant; arrivedAt: Instant },
  ) {
    const { clock, ledger } = this.#effects;
    clock.learn(sampleOffset({ sentAt, arrivedAt, ...theirs }));
    const believed = believedOffset(clock.samples());
    const offsetMs = believed?.offsetMs ?? 0;
    this.#show({ clockOffset: believed, lastExchangeAt: Math.round(arrivedAt + offsetMs) });
    if (this.#offsetKept !== null && Math.abs(offsetMs - this.#offsetKept) < OFFSET_WORTH_KEEPING_MS) return;
    await ledger.remember({ offsets: clock.samples() });
    this.#offsetKept = offsetMs;
  }

  /** Now that all of the server's ledger is here: offers again what it has lost, once for each claim it makes. */
  async #offerAgain({ epoch, heldSeq }: LedgerState): Promise<boolean> {
    const claim = `${epoch} ${heldSeq}`;
    if (claim === this.#offeredAgainFor) return false;
    const again = await this.#effects.ledger.serverHolds(this.#effects.enrolment.bench, epoch, heldSeq);
    if (again > 0) this.#offeredAgainFor = claim;
    return again > 0;
  }

  #endOf(answer: Exclude<Answer<unknown>, { is: 'answer' }>): End {
    if (answer.is === 'fault' || answer.is === 'too-large') return FAULT;
    this.#met = false;
    if (answer.is === 'not-allowed') return { is: 'paused', why: answer.why };
    if (answer.is === 'busy') {
      const server: ServerState = { is: 'unreachable', why: 'busy' };
      return { is: 'failed', server, retryAfterMs: answer.retryAfterMs };
    }
    const now = this.#effects.clock.now();
    this.#withoutConnectionSince =
      answer.why === 'no-connection' ? (this.#withoutConnectionSince ?? now) : null;
    const server = withoutAnswer(answer.why, now - (this.#withoutConnectionSince ?? now));
    return { is: 'failed', server, retryAfterMs: null };
  }

  #show(change: Partial<SyncStatus>): void {
    const before = this.#status;
    this.#status = { ...before, heldUp: this.#batches.passedOver, ...change };
    if (JSON.stringify(before) === JSON.stringify(this.#status)) return;
    for (const listener of this.#listeners) listener(this.#status);
  }
}

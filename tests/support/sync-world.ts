/**
 * A tablet's sync loop in a small world without a network: a server that keeps what a server must, a clock that
 * moves only when told, and a log of what happened. Time, answers and chance are the test's.
 */
import { CURSOR_START, cursorAt, placeOf } from '../../src/domain/cursor.ts';
import type { Cursor } from '../../src/domain/ids.ts';
import type { Draft, LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { DeviceClock } from '../../src/tablet/device/clock.ts';
import type { SyncEffects } from '../../src/tablet/sync/effects.ts';
import { SyncLoop } from '../../src/tablet/sync/loop.ts';
import type { Answer, Server } from '../../src/tablet/sync/server.ts';
import type { LedgerState } from '../../src/wire/ledger-state.ts';
import { EPOCH, handAt, MONDAY_8, siteBook, WELTING } from './builders.ts';
import { MemoryLedger, MemoryStore } from './memory-ledger.ts';

export const DATASET = 'dataset-of-aldermoor';
type Ask = 'push' | 'pull' | 'site';
type NoBody = Exclude<Answer<never>, { is: 'answer' }>;
/** In place of the server's own answer; `lost` does what was asked and then loses the answer. */
export type Instead = NoBody | 'lost';

export class SmallServer implements Server {
  readonly records: unknown[] = [];
  readonly log: string[];
  readonly #now: () => number;
  readonly #instead: ((ask: Ask, records: readonly LedgerRecord[]) => Instead | null)[] = [];
  dataset = DATASET;
  epoch = EPOCH;
  book: SiteBook = siteBook();
  offsetMs = 0;
  pageMax = 500;
  /** Why a record is refused, or null. */
  refuses: (record: LedgerRecord) => string | null = () => null;
  /** Called after the answer to a pull has been made, before it arrives. */
  afterPull: () => Promise<void> = async () => undefined;

  constructor(log: string[], now: () => number) {
    this.log = log;
    this.#now = now;
  }

  /** The next `times` answers to this question are replaced. */
  instead(ask: Ask, answer: Instead, times = 1): void {
    let left = times;
    this.#instead.push((asked) => {
      if (asked !== ask || left === 0) return null;
      left -= 1;
      return answer;
    });
  }

  /** Every answer is replaced for which the function gives one. */
  insteadWhen(decide: (ask: Ask, records: readonly LedgerRecord[]) => Instead | null): void {
    this.#instead.push(decide);
  }

  async push(records: readonly LedgerRecord[]) {
    const seqs = records.map(({ seq }) => seq);
    return this.#answer('push', `push ${ranges(seqs)}`, records, () => ({
      answers: records.map((record, index) => this.#take(record, index)),
    }));
  }

  async pull(after: Cursor) {
    const answer = this.#answer('pull', `pull after ${placeOf(after)?.pos ?? 'nothing'}`, [], () => {
      const place = placeOf(after);
      const fromStart = place !== null && place.epoch !== this.epoch;
      const from = fromStart ? 0 : (place?.pos ?? 0);
      const page = this.records.slice(from, from + this.pageMax);
      const to = from + page.length;
      return {
        records: page.map((record, index) => ({ pos: from + index + 1, record })),
        cursor: to === 0 ? CURSOR_START : cursorAt({ epoch: this.epoch, pos: to }),
        more: to < this.records.length,
        fromStart,
      };
    });
    await this.afterPull();
    return answer;
  }

  async site() {
    return this.#answer('site', 'site', [], () => ({ book: this.book }));
  }

  #take(record: LedgerRecord, index: number) {
    const why = this.refuses(record);
    if (why !== null) return { id: record.id, index, answer: 'refused' as const, reasons: [why] };
    const had = this.records.some((held) => (held as LedgerRecord).id === record.id);
    if (!had) this.records.push(record);
    return { id: record.id, index, answer: had ? ('had' as const) : ('stored' as const), reasons: [] };
  }

  #answer<Body>(
    ask: Ask,
    asked: string,
    sent: readonly LedgerRecord[],
    does: () => Body,
  ): Answer<Body & { state: LedgerState }> {
    const instead =
      this.#instead.map((decide) => decide(ask, sent)).find((answer) => answer !== null) ?? null;
    if (instead !== null && instead !== 'lost') {
      this.log.push(`${asked}: ${instead.is}`);
      return instead;
    }
    const body = does();
    this.log.push(instead === 'lost' ? `${asked}: lost` : asked);
    if (instead === 'lost') return { is: 'unreachable', why: 'timed-out' };
    const at = this.#now();
    return { is: 'answer', body: { ...body, state: this.#state() }, sentAt: at, arrivedAt: at };
  }

  #state(): LedgerState {
    const own = this.records.filter((record) => (record as LedgerRecord).bench === WELTING);
    const at = this.#now() + this.offsetMs;
    return {
      dataset: this.dataset,
      epoch: this.epoch,
      head: cursorAt({ epoch: this.epoch, pos: this.records.length }),
      book: this.book.version,
      heldSeq: Math.max(0, ...own.map((record) => (record as LedgerRecord).seq)),
      clock: { receivedAt: at, answeredAt: at },
    };
  }
}

interface Sleeper {
  readonly ms: number;
  readonly wake: () => void;
}

export class SyncWorld {
  readonly log: string[] = [];
  readonly store = new MemoryStore();
  readonly ledger = new MemoryLedger(this.store);
  readonly clock = new DeviceClock(() => this.nowMs);
  readonly server = new SmallServer(this.log, () => this.nowMs);
  readonly loop: SyncLoop;
  readonly #hand = handAt(WELTING);
  readonly #stop = new AbortController();
  #sleeper: Sleeper | null = null;
  #onSleep: () => void = () => undefined;
  #running: Promise<void> = Promise.resolve();
  nowMs = MONDAY_8;
  /** What chance gives; 1 makes every wait as long as it can be. */
  chance = 1;

  constructor(told: Partial<SyncEffects> = {}) {
    this.loop = new SyncLoop({
      ledger: this.ledger,
      server: this.server,
      enrolment: { bench: WELTING, dataset: DATASET },
      clock: this.clock,
      sleep: (ms, signal) => this.#sleep(ms, signal),
      random: () => this.chance,
      restMs: () => 15_000,
      ...told,
    });
  }

  /** Makes records at the bench. */
  make(count: number): Promise<readonly LedgerRecord[]> {
    const drafts = Array.from({ length: count }, (): Draft => {
      const { seq: _seq, seen: _seen, ...draft } = this.#hand.write('clocked-in');
      return draft;
    });
    return this.ledger.commit(drafts);
  }

  /** Starts the loop and waits until it rests. */
  async start(): Promise<void> {
    const rests = this.#nextSleep();
    this.#running = this.loop.run(this.#stop.signal);
    await Promise.race([rests, this.#running]);
  }

  /** Lets the rest pass and waits for the next one. */
  async passRest(): Promise<void> {
    const sleeper = this.#sleeper;
    if (sleeper === null) throw new Error('the loop does not rest');
    const rests = this.#nextSleep();
    this.nowMs += sleeper.ms;
    sleeper.wake();
    await Promise.race([rests, this.#running]);
  }

  /** Does something that wakes the loop and waits until it rests again. */
  async woken(wakes: () => unknown): Promise<void> {
    const rests = this.#nextSleep();
    await wakes();
    await Promise.race([rests, this.#running]);
  }

  /** Whether the loop stays at rest through this. */
  async staysAtRest(wakes: () => unknown): Promise<boolean> {
    const sleeper = this.#sleeper;
    await wakes();
    await new Promise((resolve) => setTimeout(resolve, 20));
    return sleeper !== null && this.#sleeper === sleeper;
  }

  /** The log since it was last taken. */
  taken(): readonly string[] {
    return this.log.splice(0);
  }

  async end(): Promise<void> {
    this.#stop.abort();
    await this.#running;
  }

  #sleep(ms: number, signal: AbortSignal): Promise<void> {
    return new Promise((resolve) => {
      const wake = () => {
        this.#sleeper = null;
        resolve();
      };
      this.log.push(`rest ${ms}`);
      this.#sleeper = { ms, wake };
      signal.addEventListener('abort', wake, { once: true });
      if (signal.aborted) wake();
      this.#onSleep();
    });
  }

  #nextSleep(): Promise<void> {
    return new Promise((resolve) => {
      this.#onSleep = resolve;
    });
  }
}

/** `1-200`, `3`, `1 3 5`: numbers as a reader writes them. */
function ranges(numbers: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const n of numbers) {
    const last = runs.at(-1);
    if (last !== undefined && last[1] === n - 1) last[1] = n;
    else runs.push([n, n]);
  }
  return runs.map(([from, to]) => (from === to ? `${from}` : `${from}-${to}`)).join(' ');
}

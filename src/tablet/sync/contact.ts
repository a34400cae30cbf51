/** What is known of the server's ledger in this contact, by what every answer of it says. */
import { believedOffset, sampleOffset } from '../../domain/clock-offset.ts';
import { CURSOR_START } from '../../domain/cursor.ts';
import type { Cursor } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { LedgerState } from '../../wire/ledger-state.ts';
import type { Settings } from '../ledger/ledger.ts';
import type { SyncEffects } from './effects.ts';
import { type End, FAULT } from './ends.ts';
import type { Answer } from './server.ts';
import { type ServerState, type SyncStatus, withoutAnswer } from './status.ts';

/** The offset is remembered when what is believed has moved by so much. */
const OFFSET_WORTH_KEEPING_MS = 50;

export class Contact {
  /** Whether the server has said that it holds our body of data. */
  met = false;
  cursor: Cursor = CURSOR_START;
  epoch: string | null = null;
  bookVersion: number | null = null;
  readIn = false;
  readonly #effects: SyncEffects;
  readonly #show: (change: Partial<SyncStatus>) => void;
  #withoutConnectionSince: Instant | null = null;
  #offsetKept: number | null = null;

  constructor(effects: SyncEffects, show: (change: Partial<SyncStatus>) => void) {
    this.#effects = effects;
    this.#show = show;
  }

  /** A round begins with what the tablet remembers: another window may have gone on. */
  begin({ cursor, epoch, book, readIn }: Settings): void {
    this.cursor = cursor;
    this.epoch = epoch;
    this.bookVersion = book?.version ?? null;
    this.readIn = readIn;
  }

  /**
   * Takes in what every answer says about the server's ledger.
   * @returns false when it is another body of data
   */
  async accept(answer: {
    readonly body: { readonly state: LedgerState };
    readonly sentAt: Instant;
    readonly arrivedAt: Instant;
  }): Promise<boolean> {
    const { ledger, enrolment } = this.#effects;
    const { state } = answer.body;
    if (state.dataset !== enrolment.dataset) return false;
    this.met = true;
    this.#withoutConnectionSince = null;
    await this.#learnOffset(state, answer);
    if (state.epoch !== this.epoch) {
      // What the restored server has lost is found when all of it has been read: see `serverHolds`.
      await ledger.remember({ epoch: state.epoch, cursor: CURSOR_START });
      this.epoch = state.epoch;
      this.cursor = CURSOR_START;
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

  endOf(answer: Exclude<Answer<unknown>, { is: 'answer' }>): End {
    if (answer.is === 'fault' || answer.is === 'too-large') return FAULT;
    this.met = false;
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
}

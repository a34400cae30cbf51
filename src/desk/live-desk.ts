/**
 * Keeps the page's figures fresh. A hint on the live stream asks for the figures at once (at most four times
 * a second); where hints do not come, they are asked for every 15 seconds. Figures once got stay on the page
 * whatever happens to the server, with the moment at which they were true.
 */
import type { Instant } from '../domain/instant.ts';
import type { DeskApi, DeskNow, Trouble } from './api.ts';
import { Pace, type Timers } from './pace.ts';
import type { SetUp } from './set-up.ts';
import type { SiteFacts } from './site-facts.ts';

export interface LiveView {
  readonly facts: SiteFacts;
  readonly figures: {
    readonly now: DeskNow;
    /** The server's clock less this machine's, which need not be right. */
    readonly aheadMs: number;
  } | null;
  /** Why the last asking brought nothing, null where it did. */
  readonly trouble: Trouble | null;
  /** Whether hints come in. */
  readonly live: boolean;
}

export const ASK_EVERY_MS = 250;
export const POLL_EVERY_MS = 15_000;

/** The server's clock at this moment, as well as the last answer tells. */
export function serverTime(view: LiveView, now: Instant): Instant {
  return now + (view.figures?.aheadMs ?? 0);
}

/** 1, 2, 4 … seconds, never longer than a poll. */
export function reopenAfterMs(failures: number): number {
  return Math.min(POLL_EVERY_MS, 1000 * 2 ** failures);
}

export interface LiveDeskParts {
  readonly api: DeskApi;
  readonly setUp: SetUp;
  readonly timers: Timers;
  readonly onView: (view: LiveView) => void;
}

export class LiveDesk {
  readonly #parts: LiveDeskParts;
  readonly #pace: Pace;
  readonly #stop = new AbortController();
  #callOffPoll: (() => void) | null = null;
  #callOffListening: (() => void) | null = null;
  #view: LiveView;

  constructor(parts: LiveDeskParts) {
    this.#parts = parts;
    this.#pace = new Pace(ASK_EVERY_MS, parts.timers, () => this.#fetch());
    this.#view = { facts: parts.setUp.facts, figures: null, trouble: null, live: false };
  }

  start(): void {
    this.ask();
    void this.#listen(0);
  }

  /** Also called when the window is shown again or the network comes back. */
  ask(): void {
    this.#pace.ask();
  }

  stop(): void {
    this.#stop.abort();
    this.#pace.stop();
    this.#callOffPoll?.();
    this.#callOffListening?.();
  }

  async #fetch(): Promise<void> {
    const { api, setUp, timers } = this.#parts;
    const answer = await api.now(setUp, this.#stop.signal);
    if (answer.ok) {
      const now = answer.value;
      const aheadMs = now.state.clock.answeredAt - timers.now();
      this.#show({ figures: { now, aheadMs }, trouble: null });
      if (now.state.book !== this.#view.facts.version) await this.#fetchFacts();
    } else {
      this.#show({ trouble: answer.trouble });
    }
    this.#pollLater();
  }

  async #fetchFacts(): Promise<void> {
    const answer = await this.#parts.api.site(this.#parts.setUp, this.#stop.signal);
    // Without the new book the old one serves: the next figures ask for it again.
    if (answer.ok) this.#show({ facts: answer.value });
  }

  #pollLater(): void {
    this.#callOffPoll?.();
    if (!this.#stop.signal.aborted) {
      this.#callOffPoll = this.#parts.timers.later(() => this.ask(), POLL_EVERY_MS);
    }
  }

  async #listen(failures: number): Promise<void> {
    const { api, setUp, timers } = this.#parts;
    const { signal } = this.#stop;
    let opened = false;
    await api.listen(setUp, {
      signal,
      opened: () => {
        opened = true;
        this.#show({ live: true });
        // What changed while nobody listened sent its hint in vain.
        this.ask();
      },
      heard: () => this.ask(),
    });
    if (signal.aborted) return;
    this.#show({ live: false });
    const failed = opened ? 0 : failures + 1;
    this.#callOffListening = timers.later(() => void this.#listen(failed), reopenAfterMs(failed));
  }

  #show(change: Partial<LiveView>): void {
    if (this.#stop.signal.aborted) return;
    this.#view = { ...this.#view, ...change };
    this.#parts.onView(this.#view);
  }
}

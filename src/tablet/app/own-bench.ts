/**
 * What this tablet is and what its bench knows of itself: who is on, what is open, what was done. Folded from the bench's
 * own records, some of which another window of the same tablet may have made.
 */
import { type BenchState, EMPTY_BENCH, foldBench, stepBench } from '../../domain/fold/bench.ts';
import { foldPair } from '../../domain/fold/pair.ts';
import { openSpells } from '../../domain/fold/spells.ts';
import type { PairId } from '../../domain/ids.ts';
import { DAY_MS, type Instant, MINUTE_MS } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import type { Enrolment, Settings, TabletLedger } from '../ledger/ledger.ts';

/** How far back a bench looks for its own open spells when it starts. */
const LOOK_BACK_MS = 14 * DAY_MS;

export class OwnBench {
  readonly #ledger: TabletLedger;
  #state: BenchState = EMPTY_BENCH;
  #enrolment: Enrolment | null = null;
  /** The highest sequence of this bench that the state is folded from. */
  #lastSeq = 0;

  constructor(ledger: TabletLedger) {
    this.#ledger = ledger;
  }

  get state(): BenchState {
    return this.#state;
  }

  get enrolment(): Enrolment | null {
    return this.#enrolment;
  }

  /** Folds anew all that the ledger holds of this bench. */
  async read(now: Instant): Promise<Settings> {
    const settings = await this.#ledger.settings();
    const { enrolment, stages } = settings;
    this.#enrolment = enrolment;
    if (enrolment !== null) {
      const own = await this.#ledger.recordsOfBench(enrolment.bench, now - LOOK_BACK_MS);
      this.#state = foldBench(own);
      this.#lastSeq = own.at(-1)?.seq ?? 0;
      if (this.#state.stages.length === 0) this.#state = { ...this.#state, stages };
      await this.dropEndedElsewhere(this.#state.open.map(({ pair }) => pair));
    }
    return settings;
  }

  /** Whether another window of this tablet has made records since. */
  async isBehind(now: Instant): Promise<boolean> {
    if (this.#enrolment === null) return false;
    const since = Math.min(this.#state.lastAt ?? 0, now) - MINUTE_MS;
    const recent = await this.#ledger.recordsOfBench(this.#enrolment.bench, since);
    return recent.some(({ seq }) => seq > this.#lastSeq);
  }

  /** Takes in what has just been made. After a taking-back it is read anew, not stepped. */
  step(records: readonly LedgerRecord[]): void {
    this.#lastSeq = records.at(-1)?.seq ?? this.#lastSeq;
    if (!records.some(({ kind }) => kind === 'voided')) this.#state = records.reduce(stepBench, this.#state);
  }

  /** Work that another bench or the desk has ended is open here no longer. */
  async dropEndedElsewhere(pairs: readonly PairId[]): Promise<void> {
    for (const id of new Set(pairs)) {
      if (!this.#state.open.some(({ pair }) => pair === id)) continue;
      const state = foldPair(id, await this.#ledger.recordsOfPair(id));
      const stillOpen = new Set(openSpells(state).map((spell) => spell.id));
      const open = this.#state.open.filter(({ pair, spell }) => pair !== id || stillOpen.has(spell));
      this.#state = { ...this.#state, open };
    }
  }
}

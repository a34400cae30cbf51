/**
 * One act at a time is recorded, and said to be so only then. An act that could not be recorded is kept: trying
 * again makes the very same records, and nothing is recorded in its stead.
 */
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import { LedgerFailure, type LedgerTrouble, type TabletLedger } from '../ledger/ledger.ts';

export interface RecordedAct {
  readonly drafts: readonly Draft[];
  /** Says so on the screen. */
  readonly after: (records: readonly LedgerRecord[]) => Promise<void> | void;
  /** The code whose scan it answers; null for a tap. */
  readonly scanned: string | null;
  /**
   * Asked before the act is tried again: since it failed, a note may have come in that stands before it. Gives back
   * what to do instead, or null.
   */
  readonly instead?: (() => Promise<(() => Promise<void> | void) | null>) | undefined;
}

export interface RecorderEffects {
  readonly onTrouble: (trouble: LedgerTrouble | null) => void;
  readonly onRecorded: (records: readonly LedgerRecord[]) => void;
}

export class Recorder {
  readonly #ledger: TabletLedger;
  readonly #effects: RecorderEffects;
  #pending: RecordedAct | null = null;
  #commits = 0;
  /** The scan recorded last, and the number of the commit that recorded it. */
  #answered: { readonly scanned: string | null; readonly commit: number } | null = null;

  constructor(ledger: TabletLedger, effects: RecorderEffects) {
    this.#ledger = ledger;
    this.#effects = effects;
  }

  /** Whether an act waits that could not be recorded. */
  get waits(): boolean {
    return this.#pending !== null;
  }

  get commits(): number {
    return this.#commits;
  }

  /** Whether this scan was recorded after the `commits`th commit: heard again before it was shown, it is the same act. */
  answeredSince(commits: number, scanned: string): boolean {
    return this.#answered?.scanned === scanned && this.#answered.commit > commits;
  }

  /** An act that could not be recorded goes first: nothing may take its place. */
  async record(act: RecordedAct): Promise<void> {
    await this.retry();
    if (this.#pending !== null) return;
    this.#pending = act;
    await this.#commit(act);
  }

  async retry(): Promise<void> {
    const act = this.#pending;
    if (act === null) return;
    const instead = (await this.#isHeld(act)) ? null : ((await act.instead?.()) ?? null);
    if (instead === null) return this.#commit(act);
    this.#pending = null;
    this.#effects.onTrouble(null);
    await instead();
  }

  forget(): void {
    this.#pending = null;
  }

  /** A store that did not answer may have taken the act after all. */
  async #isHeld({ drafts }: RecordedAct): Promise<boolean> {
    const [first] = drafts;
    if (first === undefined || !('pair' in first) || first.pair === null) return false;
    const held = await this.#ledger.recordsOfPair(first.pair);
    return held.some(({ record }) => record.id === first.id);
  }

  async #commit(act: RecordedAct): Promise<void> {
    let records: readonly LedgerRecord[];
    try {
      records = await this.#ledger.commit(act.drafts);
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      return this.#effects.onTrouble(cause.trouble);
    }
    // From here on it is recorded: a store that cannot be read afterwards must not be told as «not recorded».
    this.#pending = null;
    this.#commits += 1;
    this.#answered = { scanned: act.scanned, commit: this.#commits };
    this.#effects.onRecorded(records);
    await act.after(records);
  }
}

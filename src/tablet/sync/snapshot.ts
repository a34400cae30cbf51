/**
 * Reading a snapshot page by page, for a tablet that holds nothing from the server yet. While one page is written the
 * next is under way. What breaks off goes on where it was; where the server has begun anew, so does this.
 */
import { placeOf } from '../../domain/cursor.ts';
import type { Cursor } from '../../domain/ids.ts';
import type { SnapshotAnswer } from '../../wire/snapshot.ts';
import type { TabletLedger } from '../ledger/ledger.ts';
import type { Answer, PartsServer, SnapshotPlace } from './server.ts';

export class SnapshotReading {
  readonly #ledger: TabletLedger;
  readonly #parts: PartsServer;
  #place: SnapshotPlace | null = null;
  #ahead: Promise<Answer<SnapshotAnswer>> | null = null;

  constructor(ledger: TabletLedger, parts: PartsServer) {
    this.#ledger = ledger;
    this.#parts = parts;
  }

  /** The next page as it comes from the server; nothing of it is written. */
  ask(signal: AbortSignal): Promise<Answer<SnapshotAnswer>> {
    const asked = this.#ahead ?? this.#parts.snapshot(this.#place, signal);
    this.#ahead = null;
    return asked;
  }

  /**
   * Writes the page.
   * @returns the cursor to pull on from where it was the last one, null where there are more, `nowhere` for a page that
   *   would be asked for for ever
   */
  async take(
    { state, at, records, next }: SnapshotAnswer,
    signal: AbortSignal,
  ): Promise<Cursor | null | 'nowhere'> {
    const epoch = placeOf(at)?.epoch;
    if (epoch === undefined) return 'nowhere';
    if (epoch !== state.epoch) return this.#anew();
    if (next === null) {
      await this.#ledger.apply(records, at);
      this.#place = null;
      return at;
    }
    if (this.#place?.at === at && next <= this.#place.after) return 'nowhere';
    const onward = { at, after: next };
    const ahead = this.#parts.snapshot(onward, signal);
    await this.#ledger.place(records, epoch);
    this.#place = onward;
    this.#ahead = ahead;
    return null;
  }

  /** The epoch changed while the server made the page. */
  #anew(): null {
    this.#place = null;
    return null;
  }
}

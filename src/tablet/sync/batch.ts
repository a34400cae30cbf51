/**
 * Which waiting records go to the server next. Batches grow back after they were divided, and a record on which
 * the server fails even alone is passed over for a while, so that it cannot stop those behind it. It stays in the
 * outbox: only the server's word about it takes it out.
 */
import type { RecordId } from '../../domain/ids.ts';
import { type Instant, MINUTE_MS } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import { PUSH_BYTES_MAX, PUSH_RECORDS_MAX } from '../../wire/push.ts';
import type { TabletLedger } from '../ledger/ledger.ts';

/** After this a record that was passed over is offered again, alone. */
export const PASSED_OVER_MS = 5 * MINUTE_MS;
/** For what stands around the records: `{"records":[…]}`. */
const ENVELOPE_BYTES = 64;

export class Batches {
  #recordsMax = PUSH_RECORDS_MAX;
  readonly #passedOver = new Map<RecordId, Instant>();

  get passedOver(): number {
    return this.#passedOver.size;
  }

  /** The next batch, in sequence; empty when nothing is to be sent now. */
  async next(ledger: TabletLedger, now: Instant): Promise<readonly LedgerRecord[]> {
    const waiting = await ledger.waiting(this.#recordsMax + this.#passedOver.size);
    this.#forgetSettled(waiting);
    const free = waiting.filter(({ id }) => !this.#passedOver.has(id));
    if (free.length > 0) return upToSize(free.slice(0, this.#recordsMax));
    const due = waiting.find(({ id }) => isDue(this.#passedOver.get(id) ?? now, now));
    return due === undefined ? [] : [due];
  }

  /** The server settled the batch. */
  went(batch: readonly LedgerRecord[]): void {
    this.#recordsMax = Math.min(this.#recordsMax * 2, PUSH_RECORDS_MAX);
    // It takes what it failed on before: the fault was its own, and the others may go with the rest.
    if (batch.some(({ id }) => this.#passedOver.has(id))) this.#passedOver.clear();
  }

  /** The server failed on the batch, or found it too large. */
  failed(batch: readonly LedgerRecord[], now: Instant): void {
    const [first] = batch;
    if (batch.length > 1) this.#recordsMax = Math.floor(batch.length / 2);
    else if (first !== undefined) this.#passedOver.set(first.id, now);
  }

  /** What has left the outbox otherwise, in another window, is not passed over any more. */
  #forgetSettled(waiting: readonly LedgerRecord[]): void {
    const ids = new Set(waiting.map(({ id }) => id));
    for (const id of this.#passedOver.keys()) if (!ids.has(id)) this.#passedOver.delete(id);
  }
}

/** A clock that has been put back says nothing of how long it has been: rather too soon than never. */
function isDue(passedOverAt: Instant, now: Instant): boolean {
  return now < passedOverAt || now - passedOverAt >= PASSED_OVER_MS;
}

/** As many from the front as fit one request, and always the first. */
function upToSize(records: readonly LedgerRecord[]): readonly LedgerRecord[] {
  let bytes = ENVELOPE_BYTES;
  const past = records.findIndex((record, index) => {
    bytes += bytesOf(record) + 1;
    return index > 0 && bytes > PUSH_BYTES_MAX;
  });
  return past < 0 ? records : records.slice(0, past);
}

const encoder = new TextEncoder();

/** How many bytes the record has on the wire. */
export function bytesOf(record: LedgerRecord): number {
  return encoder.encode(JSON.stringify(record)).length;
}

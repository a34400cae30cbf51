/** What the killed browser's store holds, as the page reads it past the ledger and tells it. */

export interface HeldRow {
  readonly id: string;
  readonly bench: string;
  readonly seq: number;
  /** The record as it was made. */
  readonly raw: { readonly [field: string]: unknown };
}

export interface OutboxEntry {
  readonly id: string;
  readonly bench: string;
  readonly seq: number;
  readonly state: string;
}

export interface Held {
  readonly records: readonly HeldRow[];
  readonly outbox: readonly OutboxEntry[];
}

/** Sending the outbox, batch by batch. A record leaves it by the server's word for its id. */
import type { RecordId } from '../../domain/ids.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import { type PushAnswer, RECORD_BYTES_MAX } from '../../wire/push.ts';
import { LedgerFailure } from '../ledger/ledger.ts';
import { Batches, bytesOf } from './batch.ts';
import type { Contact } from './contact.ts';
import type { SyncEffects } from './effects.ts';
import { type End, FAULT, SETTLED, STOPPED } from './ends.ts';
import type { SyncStatus } from './status.ts';

export interface SendingEffects {
  readonly effects: SyncEffects;
  readonly contact: Contact;
  readonly show: (change: Partial<SyncStatus>) => void;
  /** The server has settled a batch. */
  readonly onSent: () => void;
}

export class Sending {
  readonly #effects: SyncEffects;
  readonly #contact: Contact;
  readonly #show: SendingEffects['show'];
  readonly #onSent: () => void;
  readonly #batches = new Batches();

  constructor({ effects, contact, show, onSent }: SendingEffects) {
    this.#effects = effects;
    this.#contact = contact;
    this.#show = show;
    this.#onSent = onSent;
  }

  /** Records that wait because the server fails on them. */
  get heldUp(): number {
    return this.#batches.passedOver;
  }

  /** Whether there is something to send now; false too where the store cannot say. */
  async anyNow(): Promise<boolean> {
    try {
      return (await this.#batches.next(this.#effects.ledger, this.#effects.clock.now())).length > 0;
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      return false;
    }
  }

  async push(signal: AbortSignal): Promise<End> {
    const { ledger, server, clock } = this.#effects;
    while (!signal.aborted) {
      const batch = await this.#batches.next(ledger, clock.now());
      if (batch.length === 0) return SETTLED;
      const answer = await server.push(batch, signal);
      if (answer.is === 'answer') {
        if (!(await this.#contact.accept(answer))) return STOPPED;
        if (!(await this.#settle(batch, answer.body.answers))) return FAULT;
        this.#batches.went(batch);
        this.#onSent();
      } else if (answer.is === 'too-large') {
        if (!(await this.#divideTooLarge(batch))) return FAULT;
      } else if (answer.is === 'fault') {
        this.#batches.failed(batch, clock.now());
        this.#show({ heldUp: this.#batches.passedOver });
        return FAULT;
      } else {
        return this.#contact.endOf(answer);
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
}

/**
 * Reading everybody's records: a snapshot first where the tablet is new and the server has them, then page by page. Rows
 * and the cursor that they lead to are the ledger's one transaction; a lost answer is asked for again.
 */
import { CURSOR_START, placeOf } from '../../domain/cursor.ts';
import type { LedgerState } from '../../wire/ledger-state.ts';
import type { Contact } from './contact.ts';
import type { SyncEffects } from './effects.ts';
import { type End, FAULT, MORE, type More, NOT_FOUND, SETTLED, STOPPED } from './ends.ts';
import type { PartsServer } from './server.ts';
import type { SnapshotReading } from './snapshot.ts';
import { Strangers } from './strangers.ts';

export class Receiving {
  readonly #effects: SyncEffects;
  readonly #contact: Contact;
  readonly #strangers: Strangers;
  readonly #onOfferedAgain: () => void;
  /** Null where the server has no snapshots. */
  #parts: PartsServer | null;
  #snapshot: SnapshotReading | null = null;
  /** What the server said to hold when records were last offered again: not to be believed twice. */
  #offeredAgainFor: string | null = null;

  /** @param onOfferedAgain records wait again */
  constructor(effects: SyncEffects, contact: Contact, onOfferedAgain: () => void) {
    this.#effects = effects;
    this.#contact = contact;
    this.#strangers = new Strangers(effects, contact);
    this.#parts = effects.parts ?? null;
    this.#onOfferedAgain = onOfferedAgain;
  }

  async pull(signal: AbortSignal): Promise<End> {
    while (!signal.aborted) {
      const end = await this.nextPage(signal);
      if (end.is !== 'more') return end;
    }
    return SETTLED;
  }

  nextPage(signal: AbortSignal): Promise<End | More> {
    const isNew = !this.#contact.readIn && this.#contact.cursor === CURSOR_START;
    return isNew && this.#parts !== null ? this.#snapshotPage(this.#parts, signal) : this.#pullPage(signal);
  }

  async #snapshotPage(parts: PartsServer, signal: AbortSignal): Promise<End | More> {
    if (this.#snapshot === null) {
      // Needed once in a tablet's life.
      const { SnapshotReading } = await import('./snapshot.ts');
      this.#snapshot = new SnapshotReading(this.#effects.ledger, parts);
    }
    const answer = await this.#snapshot.ask(signal);
    if (answer.is === 'fault' && answer.status === NOT_FOUND) {
      // An older server: it is read from the start.
      this.#parts = null;
      return MORE;
    }
    if (answer.is !== 'answer') return this.#contact.endOf(answer);
    if (!(await this.#contact.accept(answer))) return STOPPED;
    const led = await this.#snapshot.take(answer.body, signal);
    if (led === 'nowhere') return FAULT;
    if (led !== null) this.#contact.cursor = led;
    return MORE;
  }

  async #pullPage(signal: AbortSignal): Promise<End | More> {
    const { ledger, server } = this.#effects;
    const asked = this.#contact.cursor;
    const answer = await server.pull(asked, signal);
    if (answer.is !== 'answer') return this.#contact.endOf(answer);
    const { state, records, cursor, more } = answer.body;
    if (!(await this.#contact.accept(answer))) return STOPPED;
    // A page that leads nowhere: it would be asked for for ever, or its records could have no place.
    const leadsNowhere = records.length === 0 ? more && cursor === asked : placeOf(cursor) === null;
    if (leadsNowhere) return FAULT;
    const fetched = await this.#strangers.fetch(records, placeOf(cursor)?.epoch ?? '', signal);
    if (fetched.is !== 'settled') return fetched;
    // The epoch changed in between: the page belongs to the one before.
    if (state.epoch !== this.#contact.epoch) return MORE;
    if (records.length > 0 || cursor !== this.#contact.cursor) await ledger.apply(records, cursor);
    this.#contact.cursor = cursor;
    if (more) return MORE;
    if (!this.#contact.readIn) await this.#noteReadIn();
    if (await this.#offerAgain(state)) this.#onOfferedAgain();
    return state.book === this.#contact.bookVersion ? SETTLED : this.#fetchBook(signal);
  }

  /** Said once in the tablet's life: from now on it knows every pair that the server knew. */
  async #noteReadIn(): Promise<void> {
    const { ledger } = this.#effects;
    await ledger.remember({ readIn: true });
    this.#contact.readIn = true;
  }

  async #fetchBook(signal: AbortSignal): Promise<End> {
    const answer = await this.#effects.server.site(signal);
    if (answer.is !== 'answer') return this.#contact.endOf(answer);
    if (!(await this.#contact.accept(answer))) return STOPPED;
    this.#contact.bookVersion = answer.body.book.version;
    await this.#effects.ledger.remember({ book: answer.body.book });
    return SETTLED;
  }

  /** Now that all of the server's ledger is here: offers again what it has lost, once for each claim it makes. */
  async #offerAgain({ epoch, heldSeq }: LedgerState): Promise<boolean> {
    const claim = `${epoch} ${heldSeq}`;
    if (claim === this.#offeredAgainFor) return false;
    const again = await this.#effects.ledger.serverHolds(this.#effects.enrolment.bench, epoch, heldSeq);
    if (again > 0) this.#offeredAgainFor = claim;
    return again > 0;
  }
}

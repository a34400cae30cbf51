/** Who is at the desk. Said once, kept over a reload of the same window, and dropped after an hour of quiet. */
import * as z from 'zod/mini';
import type { OperativeId } from '../domain/ids.ts';
import { HOUR_MS, instantSchema } from '../domain/instant.ts';
import { operativeIdSchema } from '../domain/record/envelope.ts';
import type { SiteBook } from '../domain/site-book.ts';
import { roleOf } from '../domain/site-book.ts';
import type { Slots } from './desk-store.ts';
import type { Timers } from './pace.ts';

export const QUIET_MS = HOUR_MS;
const LOOK_EVERY_MS = 30_000;
const SLOT = 'waxend-desk-at';
const keptSchema = z.object({ operative: operativeIdSchema, stirredAt: instantSchema });

export class AtDesk {
  readonly #slots: Slots;
  readonly #timers: Timers;
  readonly #onChange: (operative: OperativeId | null) => void;
  #operative: OperativeId | null = null;
  #stirredAt = 0;
  #callOff: () => void = () => undefined;

  /** @param slots this window's own */
  constructor(slots: Slots, timers: Timers, onChange: (operative: OperativeId | null) => void) {
    this.#slots = slots;
    this.#timers = timers;
    this.#onChange = onChange;
    const kept = keptSchema.safeParse(slots.read(SLOT)).data;
    if (kept !== undefined && timers.now() - kept.stirredAt < QUIET_MS) {
      this.#operative = kept.operative;
      this.#stirredAt = kept.stirredAt;
      this.#lookLater();
    }
  }

  get operative(): OperativeId | null {
    return this.#operative;
  }

  take(operative: OperativeId): void {
    this.#set(operative);
    this.#lookLater();
  }

  leave(): void {
    this.#set(null);
  }

  /** Somebody touched something. */
  stir(): void {
    if (this.#operative === null) return;
    const now = this.#timers.now();
    if (now - this.#stirredAt >= QUIET_MS) this.leave();
    else if (now - this.#stirredAt >= LOOK_EVERY_MS) {
      this.#stirredAt = now;
      this.#keep();
    }
  }

  stop(): void {
    this.#callOff();
  }

  #set(operative: OperativeId | null): void {
    this.#callOff();
    this.#operative = operative;
    this.#stirredAt = this.#timers.now();
    this.#keep();
    this.#onChange(operative);
  }

  #keep(): void {
    const operative = this.#operative;
    this.#slots.write(SLOT, operative === null ? null : { operative, stirredAt: this.#stirredAt });
  }

  #lookLater(): void {
    this.#callOff();
    this.#callOff = this.#timers.later(() => {
      if (this.#timers.now() - this.#stirredAt >= QUIET_MS) this.leave();
      else this.#lookLater();
    }, LOOK_EVERY_MS);
  }
}

/** Those who may be at the desk, by name. */
export function deskPeople({ operatives }: SiteBook): SiteBook['operatives'] {
  return operatives
    .filter(({ role }) => role !== 'hand')
    .toSorted((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
}

/** Whoever is no longer in the book as office or supervisor is not at the desk. */
export function stillAt(book: SiteBook, operative: OperativeId | null): OperativeId | null {
  if (operative === null) return null;
  const role = roleOf(book, operative);
  return role === null || role === 'hand' ? null : operative;
}

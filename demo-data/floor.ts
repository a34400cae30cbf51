/** Who stands at which bench: badges on, off, handed over, and forgotten. */
import type { OperativeId } from '../src/domain/ids.ts';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { Prng } from './prng.ts';
import type { Scribe, Tablet } from './tablets.ts';

/** How long after the last scan a tablet lets a forgotten badge go. */
const QUIET_MS = 45 * MINUTE_MS;

interface Place {
  readonly tablet: Tablet;
  on: OperativeId | null;
  /** Went away without a scan. */
  left: { readonly by: OperativeId; readonly at: Instant } | null;
}

export class Floor {
  readonly #places: ReadonlyMap<Tablet, Place>;
  readonly #scribe: Scribe;
  readonly #random: Prng;

  constructor(tablets: readonly Tablet[], scribe: Scribe, random: Prng) {
    this.#places = new Map(tablets.map((tablet) => [tablet, { tablet, on: null, left: null }]));
    this.#scribe = scribe;
    this.#random = random;
  }

  isFreeFor(tablet: Tablet, hand: OperativeId): boolean {
    const { on } = this.#placeOf(tablet);
    return on === null || on === hand;
  }

  /** The hand badges on at `at`, unless its badge is on already. */
  come(tablet: Tablet, hand: OperativeId, at: Instant): void {
    const place = this.#placeOf(tablet);
    if (place.on === hand) return;
    const { left } = place;
    place.on = hand;
    if (left?.by === hand && at < left.at + QUIET_MS) {
      place.left = null;
      return;
    }
    if (left !== null && at < left.at + QUIET_MS) {
      place.left = null;
      const handedAt = Math.max(left.at, at - this.#random.int(50, 300));
      this.#scribe.say(tablet, left.by, handedAt, 'badged-off', { why: 'hand-over' });
    }
    this.#letGo(place, at);
    this.#scribe.say(tablet, hand, at, 'badged-on', {});
  }

  /** The hand goes away, with a scan or without one. */
  leave(tablet: Tablet, hand: OperativeId, at: Instant, scans: boolean): void {
    const place = this.#placeOf(tablet);
    if (place.on !== hand) return;
    place.on = null;
    if (scans) this.#scribe.say(tablet, hand, at, 'badged-off', { why: 'badge' });
    else place.left = { by: hand, at };
  }

  /** Lets go of every badge that was forgotten long enough before `until`. */
  close(until: Instant): void {
    for (const place of this.#places.values()) this.#letGo(place, until);
  }

  #letGo(place: Place, until: Instant): void {
    const { left, tablet } = place;
    if (left === null || left.at + QUIET_MS > until) return;
    place.left = null;
    this.#scribe.say(tablet, left.by, left.at + QUIET_MS, 'badged-off', { why: 'quiet' });
  }

  #placeOf(tablet: Tablet): Place {
    const place = this.#places.get(tablet);
    if (place === undefined) throw new Error(`no place for ${tablet.key}`);
    return place;
  }
}

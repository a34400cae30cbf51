/** One hand through its shifts: to a bench, work after work, and home. */
import type { OperativeId, StageCode } from '../src/domain/ids.ts';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { Floor } from './floor.ts';
import type { Choice } from './queues.ts';
import { afterBreak, type ShiftWindow } from './shifts.ts';
import type { Shop } from './shop.ts';
import type { Tablet } from './tablets.ts';
import { finish } from './way-out.ts';
import { type Forgotten, markDone, work } from './work.ts';
import { RACK_PAIRS_MAX, RACK_STAGES } from './workshop.ts';

/** Later than this before the shift's end nothing new is begun. */
const LAST_START_MS = 6 * MINUTE_MS;
/** Of the forgotten scans out: the pair has gone on to the next bench before anybody noticed. */
const SHARE_GONE_ON = 0.12;

export interface HandSetup {
  readonly id: OperativeId;
  readonly pace: number;
  readonly released: readonly StageCode[] | null;
  /** The own bench first. */
  readonly benches: readonly Tablet[];
  /** Those that it comes to, in order. */
  readonly shifts: readonly ShiftWindow[];
}

export class Hand {
  readonly #shop: Shop;
  readonly #floor: Floor;
  readonly #setup: HandSetup;
  #shift = -1;
  #bench: Tablet | null = null;
  #forgotten: Forgotten | null = null;
  #leavesWithoutScan = false;
  /** When it is free. */
  at: Instant = 0;

  constructor(shop: Shop, floor: Floor, setup: HandSetup) {
    this.#shop = shop;
    this.#floor = floor;
    this.#setup = setup;
    this.#goHome();
  }

  act(): void {
    const shift = this.#setup.shifts[this.#shift];
    if (shift === undefined) {
      this.at = Number.POSITIVE_INFINITY;
      return;
    }
    const now = this.at;
    if (this.#leavesWithoutScan) {
      this.#leavesWithoutScan = false;
      this.#leaveBench(now, 0);
      this.#goHome();
      return;
    }
    if (now >= shift.to - LAST_START_MS) {
      this.#leaveBench(Math.max(now, shift.to - this.#shop.random.between(0, 4) * MINUTE_MS), 0.75);
      this.#goHome();
      return;
    }
    this.at = afterBreak(shift, now);
    if (this.at > now) return;
    if (this.#forgotten !== null) this.#makeGood(this.#forgotten, now);
    else this.#workNext(shift, now);
  }

  #workNext(shift: ShiftWindow, now: Instant): void {
    const { random } = this.#shop;
    const found = this.#choose(now);
    if (found === null) {
      this.at = now + random.between(3, 6) * MINUTE_MS;
      return;
    }
    const { tablet, choice } = found;
    const at = this.#goTo(tablet, now);
    const { freeAt, forgotten } = work(this.#shop, { tablet, hand: this.#setup, shift, ...choice, at });
    this.#forgotten = forgotten;
    if (forgotten === null) this.at = freeAt + random.between(0.3, 2) * MINUTE_MS;
    else {
      this.at = freeAt;
      this.#leavesWithoutScan = true;
      if (random.chance(SHARE_GONE_ON)) markDone(this.#shop, forgotten.pair, forgotten.spell.stage, freeAt);
    }
  }

  #choose(now: Instant): { readonly tablet: Tablet; readonly choice: Choice } | null {
    const most = (stage: Choice['stage']) => (RACK_STAGES.includes(stage) ? RACK_PAIRS_MAX : 1);
    for (const tablet of this.#setup.benches) {
      if (!this.#floor.isFreeFor(tablet, this.#setup.id)) continue;
      const choice = this.#shop.queues.take(tablet.stages, now, most);
      if (choice !== null) return { tablet, choice };
    }
    return null;
  }

  /** The first act of the next shift: the scan out that was forgotten. */
  #makeGood(forgotten: Forgotten, now: Instant): void {
    const { pair, spell, tablet } = forgotten;
    const goneOn = pair.done.has(spell.stage);
    this.#forgotten = null;
    if (this.#floor.isFreeFor(tablet, this.#setup.id)) this.#goTo(tablet, now);
    const at = now + (goneOn ? this.#shop.random.between(60, 150) : 1) * MINUTE_MS;
    // Whoever says so the next morning often leaves open when it was.
    const timed = !goneOn && this.#shop.random.chance(0.5);
    finish(this.#shop, { hand: this.#setup }, forgotten, at, timed);
    if (!goneOn) markDone(this.#shop, pair, spell.stage, at);
    this.at = now + 2 * MINUTE_MS;
  }

  #goTo(tablet: Tablet, now: Instant): Instant {
    if (this.#bench === tablet) return now;
    this.#leaveBench(now, 0.85);
    const at = now + this.#shop.random.between(0.2, 0.8) * MINUTE_MS;
    this.#floor.come(tablet, this.#setup.id, at);
    this.#bench = tablet;
    return at;
  }

  #leaveBench(at: Instant, shareScans: number): void {
    if (this.#bench === null) return;
    this.#floor.leave(this.#bench, this.#setup.id, at, this.#shop.random.chance(shareScans));
    this.#bench = null;
  }

  #goHome(): void {
    const { random } = this.#shop;
    this.#shift += 1;
    const next = this.#setup.shifts[this.#shift];
    this.at = next === undefined ? Number.POSITIVE_INFINITY : next.from + random.between(0, 4) * MINUTE_MS;
  }
}

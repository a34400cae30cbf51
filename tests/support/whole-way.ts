/**
 * A floor of eight tablets that pairs march over together. It scans as hands do, counts what each stage costs, and
 * after each bench holds the server's records against what must be so of every pair: where it is, and what is left.
 */
import { expect } from 'playwright/test';
import type { OperativeId, PairId, StageCode } from '../../src/domain/ids.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import type { Job, OneShoe } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { actions, bench } from '../../src/words/bench.ts';
import type { Site } from './site.ts';
import type { Tablet } from './tablet.ts';
import type { TabletRack } from './tablet-rack.ts';
import { Tally } from './whole-way-count.ts';
import { BENCHES, type BenchWithHand, type Hand } from './whole-way-hands.ts';
import { bookIn, headOf, whereaboutsIn } from './whole-way-records.ts';
import { MARCH, ROUTES, WITHOUT_REMINDERS } from './whole-way-routes.ts';

const CLOCKED_IN = /^Clocked in \d\d:\d\d$/;
const CLOCKED_OUT = /^Clocked out \d\d:\d\d$/;
const OWN = asStageCode('OWN');
const REC = asStageCode('REC');
/** A ticket is waited for so long before its shoe's tag is scanned instead. */
const WORTH_WAITING_MS = 400;

export const exactly = (text: string): RegExp =>
  new RegExp(`^${text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`);

/** Where a pair is: at work at the stage, or seen there last; null where no stage is known of it. */
interface Place {
  readonly is: 'at-work' | 'met' | 'set-aside' | 'out';
  readonly stage: StageCode | null;
}

interface Known {
  readonly place: Place;
  readonly owed: ReadonlySet<StageCode>;
}

export interface Pass {
  /** In this order; all that owe the stage where not told. */
  readonly pairs?: readonly PairId[];
  /** How many notes whoever works there has not seen yet. */
  readonly notes?: ReadonlyMap<PairId, number>;
  /** While all of them are in work, the last of them on the screen. */
  readonly during?: (tablet: Tablet) => Promise<void>;
  /** Ends the stage after the second scan, where it asks more than that. */
  readonly end?: Ending;
}

export interface Ending {
  /** What the second scan asks. */
  readonly asks: RegExp;
  readonly answer: (tablet: Tablet, pair: PairId) => Promise<void>;
}

export class Floor {
  readonly tally = new Tally();
  readonly #site: Site;
  readonly #book: SiteBook;
  readonly #tablets: ReadonlyMap<string, Tablet>;
  readonly #hands: ReadonlyMap<string, Hand>;
  readonly #reminded = new Set<StageCode>();
  /** What is so, and what the server can know of it. */
  readonly #truth = new Map<PairId, Known>();
  readonly #served = new Map<PairId, Known>();
  readonly #cut = new Set<string>();
  /** Tablets that something was done at since the last look at the server. */
  readonly #busy = new Set<string>();

  private constructor(
    site: Site,
    book: SiteBook,
    tablets: ReadonlyMap<string, Tablet>,
    hands: ReadonlyMap<string, Hand>,
  ) {
    this.#site = site;
    this.#book = book;
    this.#tablets = tablets;
    this.#hands = hands;
  }

  /** Opens the tablets, with each bench's hand on. */
  static async open(site: Site, rack: TabletRack, hands: ReadonlyMap<string, Hand>): Promise<Floor> {
    const tablets = new Map<string, Tablet>();
    for (const { name, stages, hand } of BENCHES) {
      const tablet = await rack.open({ site, name, stages });
      const badge = hands.get(hand)?.badge;
      if (badge === undefined) throw new Error(`${hand} has no badge`);
      await tablet.badgeOn(badge, hand);
      tablets.set(name, tablet);
    }
    const floor = new Floor(site, await bookIn(site.ledgerFile), tablets, hands);
    for (const tablet of tablets.values()) await floor.tally.watch(tablet);
    return floor;
  }

  /** A pair that the office has logged, which is its booking in; with or without the owner's yes still to come. */
  take(pair: PairId, job: Job, yes: 'wanted' | 'settled'): void {
    const owed = new Set([...ROUTES[job], ...(yes === 'wanted' ? [OWN] : [])]);
    owed.delete(REC);
    this.#know(pair, { place: { is: 'met', stage: null }, owed });
    this.tally.name(pair, job);
  }

  get pairs(): readonly PairId[] {
    return [...this.#truth.keys()];
  }

  benchOf(stage: StageCode): BenchWithHand {
    const found = BENCHES.find(({ stages }) => stages.includes(stage));
    if (found === undefined) throw new Error(`${stage} is done at no bench`);
    return found;
  }

  tabletOf(stage: StageCode): Tablet {
    return this.tabletAt(this.benchOf(stage).name);
  }

  tabletAt(name: string): Tablet {
    const tablet = this.#tablets.get(name);
    if (tablet === undefined) throw new Error(`no tablet at ${name}`);
    return tablet;
  }

  /** Who works at the stage's bench. */
  handAt(stage: StageCode): OperativeId {
    const hand = this.#hands.get(this.benchOf(stage).hand);
    if (hand === undefined) throw new Error(`nobody works at ${stage}`);
    return hand.id;
  }

  /** One stage: all pairs in, then all out, each with two scans. */
  async pass(code: string, told: Pass = {}): Promise<void> {
    const stage = asStageCode(code);
    const tablet = this.tabletOf(stage);
    const pairs = told.pairs ?? this.pairs.filter((pair) => this.owes(pair, stage));
    expect(pairs.length, `pairs at ${stage}`).toBeGreaterThan(0);
    await this.hear(stage);
    for (const pair of pairs) await this.clockIn(stage, pair, told.notes?.get(pair) ?? 0);
    await this.check(`in at ${stage}`);
    await told.during?.(tablet);
    // What was sent back or set aside meanwhile is not clocked out here.
    for (const pair of pairs.filter((one) => this.#placeOf(one).is === 'at-work'))
      await this.clockOut(stage, pair, told.end);
    await this.check(`out of ${stage}`);
  }

  /** @param shoe its own tag is scanned, the pair being parted */
  async clockIn(stage: StageCode, pair: PairId, notes = 0, shoe: OneShoe | null = null): Promise<void> {
    const tablet = this.tabletOf(stage);
    await this.tally.during(tablet, stage, pair, async (count) => {
      const reminders = !WITHOUT_REMINDERS.includes(stage) && !this.#reminded.has(stage);
      const seen = notes > 0 ? exactly(bench.seeNotes(notes).says) : CLOCKED_IN;
      const first = reminders ? exactly(bench.reminders.says) : seen;
      await tablet.wedgeUntil(codeFor(tablet, pair, shoe), pair, first);
      if (reminders) {
        await tablet.tap(actions.looked);
        this.#reminded.add(stage);
        count.expectTaps('reminders', 1);
      }
      for (let left = notes; left > 0; left -= 1) {
        await tablet.untilCard(pair, exactly(bench.seeNotes(left).says));
        await tablet.button(actions.seen).first().tap();
        count.expectTaps('notes', 1);
      }
      await tablet.untilCard(pair, CLOCKED_IN);
    });
    this.#move(pair, stage, { is: 'at-work', stage });
  }

  async clockOut(stage: StageCode, pair: PairId, end?: Ending, shoe: OneShoe | null = null): Promise<void> {
    const tablet = this.tabletOf(stage);
    await this.tally.during(tablet, stage, pair, async () => {
      await tablet.wedgeUntil(codeFor(tablet, pair, shoe), pair, end?.asks ?? CLOCKED_OUT);
    });
    if (end !== undefined) {
      await this.tally.besides(tablet, stage, pair, () => end.answer(tablet, pair));
      await tablet.untilCard(pair, CLOCKED_OUT);
    }
    const is = stage === this.#book.closingStage ? 'out' : 'met';
    this.#move(pair, stage, { is, stage });
    this.owe(pair, [], [stage]);
  }

  /** What a hand does at a card beyond scanning in and out: counted apart. */
  besides(stage: StageCode, pair: PairId, act: (tablet: Tablet) => Promise<void>): Promise<void> {
    const tablet = this.tabletOf(stage);
    return this.tally.besides(tablet, stage, pair, () => act(tablet));
  }

  /** What the pair owes more from here on, and what no longer. */
  owe(pair: PairId, more: readonly StageCode[], less: readonly StageCode[] = []): void {
    const { place, owed } = this.#known(pair);
    this.#know(pair, { place, owed: new Set([...owed, ...more].filter((stage) => !less.includes(stage))) });
  }

  owes(pair: PairId, stage: StageCode): boolean {
    return this.#known(pair).owed.has(stage);
  }

  /** The pair was put by, or sent back, at this stage. */
  moved(pair: PairId, stage: StageCode, is: Place['is']): void {
    this.#move(pair, stage, { is, stage });
  }

  /** This bench has no network from here on. */
  async cut(name: string): Promise<void> {
    await this.#hearAt(name);
    await this.tabletAt(name).context.setOffline(true);
    this.#cut.add(name);
  }

  /** It has it again, and sends what it kept. */
  async join(name: string): Promise<void> {
    const tablet = this.tabletAt(name);
    this.#cut.delete(name);
    await tablet.context.setOffline(false);
    await tablet.untilSent(30_000);
    for (const [pair, known] of this.#truth) this.#served.set(pair, known);
    await this.check(`${name} has its network again`);
  }

  /** Holds the server's records of every pair against what must be so. */
  async check(when: string): Promise<void> {
    const sending = [...this.#busy].filter((name) => !this.#cut.has(name));
    for (const name of sending) await this.tabletAt(name).untilSent();
    this.#busy.clear();
    const found = await whereaboutsIn(this.#site.ledgerFile, this.#book, this.pairs);
    const said = [...found].map(([pair, { place, left }]) => ({
      pair,
      is: place.is,
      stage:
        place.is === 'at-work' ? place.spells.map(({ stage }) => stage) : [stageIn(place)].filter(Boolean),
      left: left?.map(({ stage }) => stage),
    }));
    const known = [...this.#served].map(([pair, { place, owed }]) => ({
      pair,
      is: place.is,
      stage: place.is === 'out' ? [] : [place.stage].filter(Boolean),
      left: place.is === 'out' ? [] : MARCH.filter((stage) => owed.has(stage)),
    }));
    expect(said, when).toEqual(known);
  }

  /** Waits until the stage's tablet has heard of all that the server holds, unless it has no network. */
  async hear(stage: StageCode): Promise<void> {
    const { name } = this.benchOf(stage);
    if (!this.#cut.has(name)) await this.#hearAt(name);
  }

  async #hearAt(name: string): Promise<void> {
    await this.tabletAt(name).untilHeard(await headOf(this.#site.ledgerFile));
  }

  #placeOf(pair: PairId): Place {
    return this.#known(pair).place;
  }

  #known(pair: PairId): Known {
    const known = this.#truth.get(pair);
    if (known === undefined) throw new Error(`${pair} is not on this floor`);
    return known;
  }

  #move(pair: PairId, at: StageCode, place: Place): void {
    const known = { ...this.#known(pair), place };
    this.#busy.add(this.benchOf(at).name);
    this.#truth.set(pair, known);
    if (!this.#cut.has(this.benchOf(at).name)) this.#served.set(pair, known);
  }

  /** What the server's records tell as well, unless the last that was done to the pair was done without a network. */
  #know(pair: PairId, known: Known): void {
    const hidden = this.#truth.get(pair) !== this.#served.get(pair);
    this.#truth.set(pair, known);
    if (!hidden) this.#served.set(pair, known);
  }
}

function stageIn(place: { readonly is: string; readonly stage?: StageCode; readonly met?: object }) {
  if (place.stage !== undefined) return place.stage;
  return place.met !== undefined && 'stage' in place.met ? place.met.stage : null;
}

/**
 * The ticket, or the tag of a shoe, which stands for the pair while both are together: whichever the scanner takes
 * first, since it takes no code twice within two seconds.
 */
function codeFor(tablet: Tablet, pair: PairId, shoe: OneShoe | null): string {
  const tags = { left: `${pair}L`, right: `${pair}R` };
  if (shoe !== null) return tags[shoe];
  if (tablet.restOf(pair) <= WORTH_WAITING_MS) return pair;
  return [tags.left, tags.right].find((tag) => tablet.restOf(tag) === 0) ?? pair;
}

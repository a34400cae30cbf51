/**
 * The shift sheets of one site: the cache of facts is caught up, what a shift needs is read from it, and the domain computes.
 * A sheet once computed is kept for a while, since its numbers are opened one after the other.
 */
import type { ShiftSpan } from '../../domain/calendar/calendar.ts';
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import type { PairFacts } from '../../domain/figures/facts.ts';
import type { ShiftSheet } from '../../domain/figures/sheet.ts';
import { shiftSheet } from '../../domain/figures/sheet-of.ts';
import type { SiteId } from '../../domain/ids.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import type { ForecastAnswer, LookBackAnswer } from '../../wire/sheet.ts';
import { allPlaced } from '../ledger/held.ts';
import type { ServerLedger } from '../ledger/ledger.ts';
import { type Asked, momentOf } from './asked.ts';
import { FactsFollower, type Progress } from './facts-follower.ts';
import { Forecasts } from './forecasts.ts';
import { KeptAnswers } from './kept-answers.ts';
import { lookBackAnswer, lookBackFrom } from './look-back-answer.ts';

/** A shift is at most so long, and so far back is looked for one that runs over midnight. */
const SHIFT_MAX_MS = 2 * DAY_MS;
/** Over so many days Little's law is held against the record. */
export const LOOK_BACK_DAYS = 28;
const SHEETS_KEPT = 6;
const LATER_THAN_ALL = Number.MAX_SAFE_INTEGER;
/** Catching up takes longer only when it begins anew, and a forecast at a large site. */
const PATIENCE_MS = 2_000;
/** More often nobody begins the facts anew while they are read. */
const TRIES = 5;

export class Sheets {
  readonly #ledger: ServerLedger;
  readonly #site: SiteId;
  readonly #follower: FactsFollower;
  readonly #sheets = new KeptAnswers<ShiftSheet>(SHEETS_KEPT);
  readonly #lookBacks = new KeptAnswers<LookBackAnswer>(SHEETS_KEPT);
  readonly #forecasts: Forecasts;

  constructor(ledger: ServerLedger, site: SiteId) {
    this.#ledger = ledger;
    this.#site = site;
    this.#follower = new FactsFollower(ledger, site);
    this.#forecasts = new Forecasts(ledger, site);
  }

  /** Null once the facts are caught up; how far they are where that takes a while. */
  async ready({ standing, book }: Asked): Promise<Progress | null> {
    const caught = await inTime(this.#follower.upTo(standing, book).then(() => true));
    return caught === null ? (this.#follower.progress ?? { done: 0, of: 0 }) : null;
  }

  /** The shift that began at `from`, or null where none did. */
  shiftFrom({ calendar, book }: Asked, from: Instant): ShiftSpan | null {
    return (
      shiftsBetween(calendar, book.timeZone, from, from + 1).find((shift) => shift.from === from) ?? null
    );
  }

  /** The sheet of a shift, with all that the ledger held at `standing`. */
  sheet(asked: Asked, shift: ShiftSpan): Promise<ShiftSheet> {
    return this.#sheets.of(keyOf(asked, shift), () => this.#compute(asked, shift));
  }

  /** How the shift stands against the weeks before it. */
  lookBack(asked: Asked, shift: ShiftSpan): Promise<LookBackAnswer> {
    return this.#lookBacks.of(keyOf(asked, shift), async () => {
      const [from, to] = [lookBackFrom(shift), momentOf(shift, asked.now) + 1];
      const facts = await this.#whole(asked, () => this.facts(from, to));
      return lookBackAnswer(facts, asked, shift);
    });
  }

  /** When each open pair should be ready. */
  forecast(asked: Asked): Promise<ForecastAnswer> {
    return this.#forecasts.forecast(asked);
  }

  /** The facts of every pair that was in the works at some time of the span. */
  async facts(from: Instant, to: Instant): Promise<readonly PairFacts[]> {
    const kept = await this.#ledger.factsBetween(this.#site, from, to);
    return kept.map((json) => JSON.parse(json) as PairFacts);
  }

  /** What was read while another process began the facts anew is read again: half of them make a wrong figure. */
  async #whole<Read>(
    { standing, book }: Pick<Asked, 'standing' | 'book'>,
    read: () => Promise<Read>,
  ): Promise<Read> {
    for (let tries = 0; tries < TRIES; tries += 1) {
      const found = await read();
      if (await this.#follower.holds(standing, book)) return found;
      await this.#follower.upTo(standing, book);
    }
    throw new Error(`the facts of ${this.#site} could not be read: others keep beginning them anew`);
  }

  async #compute({ standing, book, calendar, now }: Asked, shift: ShiftSpan): Promise<ShiftSheet> {
    const at = momentOf(shift, now);
    const lookBack = { from: at - LOOK_BACK_DAYS * DAY_MS, to: at };
    const shifts = shiftsBetween(calendar, book.timeZone, shift.from - SHIFT_MAX_MS, shift.to);
    const { facts, here } = await this.#whole({ standing, book }, async () => ({
      facts: await this.facts(shift.from, at + 1),
      here: await this.#ledger.pairsHere(this.#site, lookBack.from, lookBack.to),
    }));
    return shiftSheet({
      shift,
      shifts,
      at,
      book,
      facts,
      here,
      lookBack,
      attendance: await this.#attendance(standing.epoch, shift, at),
    });
  }

  async #attendance(epoch: string, shift: ShiftSpan, at: Instant) {
    // Somebody may have been on since the shift before; and a badge may be taken back at any time after.
    const [from, badges] = [shift.from - DAY_MS, ['badged-on', 'badged-off']];
    const held = await this.#ledger.recordsOfKindsBetween(this.#site, badges, from, at + 1);
    const voids = await this.#ledger.recordsOfKindsBetween(this.#site, ['voided'], from, LATER_THAN_ALL);
    return allPlaced([...held, ...voids], epoch).map(({ record }) => record);
  }
}

function keyOf({ standing, now }: Asked, shift: ShiftSpan): string {
  const { epoch, head, book } = standing;
  return [shift.from, shift.to, momentOf(shift, now), epoch, head, book].join(' ');
}

/** What is answered in a moment, or null: whoever asks is then told to ask again, and the work goes on. */
export async function inTime<Value>(answer: Promise<Value>): Promise<Value | null> {
  const late = new AbortController();
  const patience = new Promise<null>((resolve) => {
    const timer = setTimeout(() => resolve(null), PATIENCE_MS);
    late.signal.addEventListener('abort', () => clearTimeout(timer));
  });
  try {
    return await Promise.race([answer, patience]);
  } finally {
    late.abort();
    // Nobody may be waiting any more when it fails; it fails again for whoever asks next.
    answer.catch(() => {});
  }
}

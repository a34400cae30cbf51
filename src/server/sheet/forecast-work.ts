/** The forecast of one site, from what the ledger holds to what the desk is told. Pure but for the time it takes. */
import type { Calendar } from '../../domain/calendar/calendar.ts';
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import type { PairFacts } from '../../domain/figures/facts.ts';
import { foldPair } from '../../domain/fold/pair.ts';
import { aheadOf } from '../../domain/forecast/ahead.ts';
import { atRisk } from '../../domain/forecast/at-risk.ts';
import { type Forecast, forecast, RUNS } from '../../domain/forecast/forecast.ts';
import { historyOf, WEEKS } from '../../domain/forecast/history.ts';
import type { PairId } from '../../domain/ids.ts';
import { DAY_MS, type Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { ForecastAnswer, PairForecast } from '../../wire/sheet.ts';
import { allPlaced } from '../ledger/held.ts';
import type { Held } from '../ledger/ledger.ts';

/** Dates are told so far ahead; beyond it nobody plans by them. */
const AHEAD_DAYS = 180;

/** Plain data: it goes to another thread. */
export interface ForecastWork {
  readonly book: SiteBook;
  readonly calendar: Calendar;
  readonly epoch: string;
  readonly now: Instant;
  readonly seed: number;
  /** JSON of the facts of every pair that was in the works since `forecastSince(now)`. */
  readonly facts: readonly string[];
  /** The records of the open ones among them. */
  readonly open: readonly (readonly [PairId, readonly Held[]])[];
}

/** How far back the facts have to reach. */
export function forecastSince(now: Instant): Instant {
  return now - WEEKS * 7 * DAY_MS;
}

export function reckon({ book, calendar, epoch, now, seed, facts, open }: ForecastWork): ForecastAnswer {
  const all = facts.map((json) => JSON.parse(json) as PairFacts);
  const shifts = shiftsBetween(calendar, book.timeZone, forecastSince(now), now + AHEAD_DAYS * DAY_MS);
  const site = { book, shifts };
  const history = historyOf(all, site, now);
  const byPair = new Map(all.map((one) => [one.pair, one]));
  const ahead = open.flatMap(([pair, held]) => {
    const known = byPair.get(pair);
    if (known === undefined) return [];
    return aheadOf(known, foldPair(pair, allPlaced(held, epoch)), book) ?? [];
  });
  const forecasts = forecast(site, history, ahead, { seed });
  return {
    at: now,
    basis: { spells: history.spells, weeks: history.weeks, runs: RUNS },
    pairs: forecasts.map(told),
    atRisk: atRisk(forecasts).map(({ pair }) => pair),
  };
}

function told({ pair, promised, ready, early, late, keeps, hangsOn, basis }: Forecast): PairForecast {
  return {
    pair,
    promised,
    ready: ready?.day ?? null,
    early: early?.day ?? null,
    late: late?.day ?? null,
    keeps,
    hangsOn:
      hangsOn === null ? null : { on: hangsOn.on, stage: hangsOn.on === 'queue' ? hangsOn.stage : null },
    assumed: basis.assumed.length > 0,
  };
}

/** The forecast of one pair, where the page can ask for it. */
import type { PairId } from '../../domain/ids.ts';
import { type ForecastAnswer, forecastAnswerSchema, type PairForecast } from '../../wire/sheet.ts';
import type { Ways } from './shift-parts.ts';
import { type Asked, useAsked } from './use-asked.ts';

/** The server reckons it anew every five minutes. */
const AGAIN_MS = 5 * 60_000;
/** A promise that is kept less often than this is not repeated to its owner as if nothing were the matter. */
const HARDLY_KEPT = 0.5;

export interface ForecastOfPair {
  readonly asked: Asked<ForecastAnswer>;
  readonly found: PairForecast | null;
}

/** Null where there is no way to ask, or nothing to ask about. */
export function useForecast(ways: Ways | null, pair: PairId): ForecastOfPair | null {
  const asked = useAsked(ways, ways === null ? null : '/api/forecast', forecastAnswerSchema, AGAIN_MS);
  return ways === null ? null : { asked, found: asked.value?.pairs.find((one) => one.pair === pair) ?? null };
}

/** The day to name beside a promise that will hardly be kept. */
export function dayInstead(forecast: ForecastOfPair | null): string | null {
  const found = forecast?.found ?? null;
  return found !== null && found.keeps !== null && found.keeps < HARDLY_KEPT ? found.ready : null;
}

/** The pairs that will hardly keep their promise, so that somebody can look while there is time. */
import type { Forecast } from './forecast.ts';

/** A promise that is as likely broken as kept is at risk. */
export const LIKELY = 0.5;

/**
 * Least likely kept first, and of those alike the one promised first. Pairs without a promise are none.
 * @param below a promise is at risk that is kept less often than this; 0 … 1
 * @param until leave out what is promised later than this day, `2026-12-10`; none where it is not said
 */
export function atRisk(
  forecasts: readonly Forecast[],
  { below = LIKELY, until }: { readonly below?: number; readonly until?: string } = {},
): readonly Forecast[] {
  return forecasts
    .filter(({ keeps, promised }) => keeps !== null && promised !== null && keeps < below)
    .filter(({ promised }) => until === undefined || (promised ?? '') <= until)
    .sort((a, b) => (a.keeps ?? 0) - (b.keeps ?? 0) || ((a.promised ?? '') < (b.promised ?? '') ? -1 : 1));
}

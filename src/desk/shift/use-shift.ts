/** All that the page asks the server about one shift. */
import {
  type ForecastAnswer,
  forecastAnswerSchema,
  type LookBackAnswer,
  lookBackAnswerSchema,
  type SheetAnswer,
  sheetAnswerSchema,
} from '../../wire/sheet.ts';
import type { Ways } from './shift-parts.ts';
import { type Asked, useAsked } from './use-asked.ts';

/** A running shift is asked for anew so often; one that is over changes only by what comes in late. */
const RUNNING_MS = 30_000;
export const OVER_MS = 120_000;

export interface ShiftAsked {
  readonly sheet: Asked<SheetAnswer>;
  readonly lookBack: Asked<LookBackAnswer>;
  readonly forecast: Asked<ForecastAnswer>;
}

/**
 * @param from null for none: nothing is asked
 * @param nudge another number where the figures are other ones by now
 */
export function useShift(ways: Ways, from: number | null, newest: boolean, nudge: number): ShiftAsked {
  const again = newest ? RUNNING_MS : OVER_MS;
  const sheet = useAsked(
    ways,
    from === null ? null : `/api/sheet?shift=${from}`,
    sheetAnswerSchema,
    again,
    nudge,
  );
  // Only once the sheet is there: both wait for the same facts, and the sheet is what was asked for.
  const ready = from !== null && sheet.value !== null;
  const lookBack = useAsked(
    ways,
    ready ? `/api/sheet/look-back?shift=${from}` : null,
    lookBackAnswerSchema,
    again,
    nudge,
  );
  // It is of the queues as they stand now, and says nothing of a shift that is past.
  const forecast = useAsked(ways, ready && newest ? '/api/forecast' : null, forecastAnswerSchema, OVER_MS);
  return { sheet, lookBack, forecast };
}

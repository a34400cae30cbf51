/** When a pair should be ready, by the server's forecast: a day and an interval, never a promise. Nothing where there is none. */
import type { PairId } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { forecastAnswerSchema } from '../../wire/sheet.ts';
import { readyWords, shiftWords } from '../../words/shift.ts';
import { stageShown } from '../../words/whereabouts-account.ts';
import type { Ways } from './shift-parts.ts';
import { useAsked } from './use-asked.ts';

/** The server reckons it anew every five minutes. */
const AGAIN_MS = 5 * 60_000;

interface Props {
  readonly ways: Ways;
  readonly pair: PairId;
  readonly book: SiteBook;
}

export function ReadyBy({ ways, pair, book }: Props) {
  const { value, trouble } = useAsked(ways, '/api/forecast', forecastAnswerSchema, AGAIN_MS);
  if (value === null) {
    return <span class="desk-calm">{trouble === null ? shiftWords.forecasting : shiftWords.noForecast}</span>;
  }
  const found = value.pairs.find((one) => one.pair === pair);
  if (found === undefined) return <span class="desk-calm">{readyWords.none}</span>;
  const { hangsOn, keeps, assumed } = found;
  const stage = hangsOn === null || hangsOn.stage === null ? null : stageShown(book, hangsOn.stage);
  return (
    <>
      <b>{readyWords.day(found)}</b>
      {keeps !== null && <span class="pair-line">{shiftWords.sure(keeps)}</span>}
      {hangsOn !== null && <span class="pair-line">{shiftWords.hangsOn[hangsOn.on](stage)}</span>}
      {assumed && <span class="pair-line desk-calm">{readyWords.assumed}</span>}
    </>
  );
}

/** When a pair should be ready, by the server's forecast: a day and an interval, never a promise. */
import type { SiteBook } from '../../domain/site-book.ts';
import { readyWords, shiftWords } from '../../words/shift.ts';
import { stageShown } from '../../words/whereabouts-account.ts';
import type { ForecastOfPair } from './use-forecast.ts';

interface Props {
  readonly forecast: ForecastOfPair;
  readonly book: SiteBook;
}

export function ReadyBy({ forecast: { asked, found }, book }: Props) {
  if (asked.value === null) {
    const says = asked.trouble === null ? shiftWords.forecasting : shiftWords.noForecast;
    return <span class="desk-calm">{says}</span>;
  }
  if (found === null) return <span class="desk-calm">{readyWords.none}</span>;
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

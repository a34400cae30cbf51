/** Open pairs that are likely to miss their promise, the likeliest first. */
import { asPairId } from '../../domain/ids.ts';
import type { ForecastAnswer } from '../../wire/sheet.ts';
import { calendarDay } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';
import { PairLink } from '../parts/pair-link.tsx';
import type { Asked } from './use-asked.ts';

/** Below this share of kept promises a pair stands in the list. */
const LIKELY = 0.5;
const SHOWN = 6;

interface Props {
  readonly asked: Asked<ForecastAnswer>;
  readonly stageName: (stage: string) => string;
}

export function AtRisk({ asked: { value, trouble }, stageName }: Props) {
  const risky = (value?.pairs ?? [])
    .filter(({ keeps }) => keeps !== null && keeps < LIKELY)
    .sort(
      (one, other) =>
        (one.promised ?? '').localeCompare(other.promised ?? '') || (one.keeps ?? 0) - (other.keeps ?? 0),
    );
  return (
    <section class="shift-risk" aria-labelledby="shift-risk">
      <h2 id="shift-risk">{shiftWords.risk}</h2>
      {value === null && (
        <p class="desk-calm" role="status">
          {trouble === null ? shiftWords.forecasting : shiftWords.noForecast}
        </p>
      )}
      {value !== null && risky.length === 0 && <p>{shiftWords.noRisk}</p>}
      <ul>
        {risky.slice(0, SHOWN).map(({ pair, ready, promised, keeps, hangsOn }) => (
          <li key={pair}>
            <PairLink pair={asPairId(pair)} />{' '}
            <span>{shiftWords.riskLine(calendarDay(ready), calendarDay(promised ?? ready))}</span>
            <span class="desk-calm">
              {shiftWords.hangsOn[hangsOn.what](hangsOn.stage === null ? null : stageName(hangsOn.stage))},{' '}
              {shiftWords.sure(keeps ?? 0)}
            </span>
          </li>
        ))}
      </ul>
      {risky.length > SHOWN && <p class="desk-calm">{shiftWords.moreRisk(risky.length - SHOWN)}</p>}
      {value !== null && (
        <p class="desk-calm">{shiftWords.basis(value.basis.spells, value.basis.weeks, value.basis.runs)}</p>
      )}
    </section>
  );
}

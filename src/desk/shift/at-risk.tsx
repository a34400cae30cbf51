/** Open pairs that are likely to miss their promise, the likeliest to miss it first. */
import { asPairId } from '../../domain/ids.ts';
import type { ForecastAnswer, PairForecast } from '../../wire/sheet.ts';
import { shiftWords } from '../../words/shift.ts';
import { PairLink } from '../parts/pair-link.tsx';
import type { Asked } from './use-asked.ts';

const SHOWN = 6;

interface Props {
  readonly asked: Asked<ForecastAnswer>;
  readonly stageName: (stage: string) => string;
}

export function AtRisk({ asked: { value, trouble }, stageName }: Props) {
  const byPair = new Map(value?.pairs.map((one) => [one.pair, one]));
  const risky = (value?.atRisk ?? []).flatMap((pair) => byPair.get(pair) ?? []);
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
        {risky.slice(0, SHOWN).map((one) => (
          <li key={one.pair}>
            <PairLink pair={asPairId(one.pair)} /> <span>{shiftWords.riskLine(one.ready, one.promised)}</span>
            <span class="desk-calm">{whyOf(one, stageName)}</span>
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

function whyOf({ hangsOn, keeps }: PairForecast, stageName: Props['stageName']): string {
  const sure = shiftWords.sure(keeps ?? 0);
  if (hangsOn === null) return sure;
  const stage = hangsOn.stage === null ? null : stageName(hangsOn.stage);
  return `${shiftWords.hangsOn[hangsOn.on](stage)}, ${sure}`;
}

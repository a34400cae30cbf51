/** Open pairs that are likely to miss their promise; those that have missed it already stand apart. */
import { asPairId } from '../../domain/ids.ts';
import type { ForecastAnswer, PairForecast } from '../../wire/sheet.ts';
import { shiftWords } from '../../words/shift.ts';
import { PairLink } from '../parts/pair-link.tsx';
import type { Asked } from './use-asked.ts';

const SHOWN = 6;

interface Props {
  readonly asked: Asked<ForecastAnswer>;
  /** The site's day, `2026-12-10`: what was promised for before it is late already, and no more at risk. */
  readonly today: string;
  readonly stageName: (stage: string) => string;
}

export function AtRisk({ asked: { value, trouble }, today, stageName }: Props) {
  const byPair = new Map(value?.pairs.map((one) => [one.pair, one]));
  // The soonest promise first: something can still be done for it.
  const risky = (value?.atRisk ?? [])
    .flatMap((pair) => byPair.get(pair) ?? [])
    .sort((one, other) => ((one.promised ?? '') < (other.promised ?? '') ? -1 : 1));
  const ahead = risky.filter(({ promised }) => (promised ?? '') >= today);
  const late = risky.filter(({ promised }) => (promised ?? '') < today);
  return (
    <section class="shift-risk" aria-labelledby="shift-risk">
      <h2 id="shift-risk">{shiftWords.risk}</h2>
      {value === null && (
        <p class="desk-calm" role="status">
          {trouble === null ? shiftWords.forecasting : shiftWords.noForecast}
        </p>
      )}
      {value !== null && ahead.length === 0 && <p>{shiftWords.noRisk}</p>}
      <Risks pairs={ahead.slice(0, SHOWN)} stageName={stageName} />
      {ahead.length > SHOWN && (
        <details>
          <summary>{shiftWords.moreRisk(ahead.length - SHOWN)}</summary>
          <Risks pairs={ahead.slice(SHOWN)} stageName={stageName} />
        </details>
      )}
      {late.length > 0 && (
        <details>
          <summary>{shiftWords.lateAlready(late.length)}</summary>
          <Risks pairs={late} stageName={stageName} />
        </details>
      )}
      {value !== null && (
        <p class="desk-calm">{shiftWords.basis(value.basis.spells, value.basis.weeks, value.basis.runs)}</p>
      )}
    </section>
  );
}

interface RisksProps extends Pick<Props, 'stageName'> {
  readonly pairs: readonly PairForecast[];
}

function Risks({ pairs, stageName }: RisksProps) {
  return (
    <ul>
      {pairs.map((one) => (
        <li key={one.pair}>
          <PairLink pair={asPairId(one.pair)} /> <span>{shiftWords.riskLine(one.ready, one.promised)}</span>
          <span class="desk-calm">{whyOf(one, stageName)}</span>
        </li>
      ))}
    </ul>
  );
}

function whyOf({ hangsOn, keeps }: PairForecast, stageName: Props['stageName']): string {
  const sure = shiftWords.sure(keeps ?? 0);
  if (hangsOn === null) return sure;
  const stage = hangsOn.stage === null ? null : stageName(hangsOn.stage);
  return `${shiftWords.hangsOn[hangsOn.on](stage)}, ${sure}`;
}

/** Is a day unusual or ordinary? The days of one stage with their natural limits, and the queue there over this shift. */
import { scaleBand, scaleLinear } from 'd3-scale';
import { curveStepAfter, line } from 'd3-shape';
import { asStageCode, type StageCode } from '../../domain/ids.ts';
import type { LookBackAnswer, SheetAnswer } from '../../wire/sheet.ts';
import { calendarDay, clockTime } from '../../words/format.ts';
import { pairs, shiftWords } from '../../words/shift.ts';
import { useOwnId } from '../parts/use-own-id.ts';

const [WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM] = [560, 200, 34, 8, 14, 24];

interface Props {
  readonly lookBack: LookBackAnswer;
  readonly sheet: SheetAnswer;
  readonly zone: string;
  /** The stage that was chosen here or in the table; null for the one that holds the line back. */
  readonly chosen: StageCode | null;
  readonly onChoose: (stage: StageCode) => void;
}

type Stage = LookBackAnswer['stages'][number];

export function Ordinary({ lookBack, sheet, zone, chosen, onChoose }: Props) {
  const id = useOwnId();
  const names = new Map(sheet.stages.map(({ stage, name }) => [stage, name]));
  const shown = lookBack.stages.filter(hadAnything);
  const first = sheet.line.holdsBack?.stage ?? shown[0]?.stage ?? null;
  const stage = shown.find((one) => one.stage === (chosen ?? first)) ?? shown[0];
  if (stage === undefined) return null;
  return (
    <section class="shift-ordinary" aria-labelledby={`${id}-title`}>
      <div class="shift-choose">
        <label for={id}>{shiftWords.whichStage}</label>
        <select
          id={id}
          value={stage.stage}
          onChange={(event) => onChoose(asStageCode(event.currentTarget.value))}
        >
          {shown.map((one) => (
            <option key={one.stage} value={one.stage}>
              {names.get(one.stage) ?? one.stage}
              {one.days.some(({ outside }) => outside) ? ' ▲' : ''}
            </option>
          ))}
        </select>
      </div>
      <div class="shift-two">
        <div>
          <h2 id={`${id}-title`}>{shiftWords.ordinary}</h2>
          <Individuals stage={stage} today={sheet.shift.day} />
          <p class="desk-calm">{stage.limits === null ? shiftWords.tooFew : shiftWords.ordinaryHint}</p>
        </div>
        <div>
          <h2>{shiftWords.queues}</h2>
          <Queue stage={stage} shift={sheet.shift} at={sheet.at} zone={zone} />
        </div>
      </div>
    </section>
  );
}

function Individuals({ stage: { days, limits }, today }: { readonly stage: Stage; readonly today: string }) {
  const most = Math.max(1, limits?.upper ?? 0, ...days.map(({ out }) => out));
  const x = scaleBand(
    days.map(({ day }) => day),
    [LEFT, WIDTH - RIGHT],
  );
  const y = scaleLinear([0, most], [HEIGHT - BOTTOM, TOP]).nice();
  const at = (day: string) => (x(day) ?? LEFT) + x.bandwidth() / 2;
  const path = line<Stage['days'][number]>(
    ({ day }) => at(day),
    ({ out }) => y(out),
  );
  const outside = days.filter((day) => day.outside).length;
  const said = outside === 0 ? shiftWords.allInside : shiftWords.outside(outside);
  const [first, last] = [days[0], days.at(-1)];
  return (
    <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={said}>
      {limits !== null && (
        <>
          <rect
            class="shift-within"
            x={LEFT}
            y={y(limits.upper)}
            width={WIDTH - LEFT - RIGHT}
            height={Math.max(0, y(Math.max(0, limits.lower)) - y(limits.upper))}
          />
          <line class="shift-mean" x1={LEFT} x2={WIDTH - RIGHT} y1={y(limits.mean)} y2={y(limits.mean)} />
          {labelsOf(limits).map(([shown, value]) => (
            <text key={shown} x={LEFT - 5} y={y(value) + 4} text-anchor="end">
              {shown}
            </text>
          ))}
        </>
      )}
      <path class="shift-thin" d={path([...days]) ?? ''} />
      {days.map(({ day, out, outside: odd }) => (
        <g key={day} class={odd ? 'shift-odd' : day === today ? 'shift-today' : 'shift-dot'}>
          {odd ? (
            <path d={`M${at(day)} ${y(out) - 7}l6 11h-12z`} />
          ) : (
            <circle cx={at(day)} cy={y(out)} r={day === today ? 5 : 3} />
          )}
          <title>{shiftWords.day(calendarDay(day), out)}</title>
        </g>
      ))}
      {first !== undefined && last !== undefined && (
        <>
          <text x={LEFT} y={HEIGHT - 6}>
            {calendarDay(first.day)}
          </text>
          <text x={WIDTH - RIGHT} y={HEIGHT - 6} text-anchor="end">
            {calendarDay(last.day)}
          </text>
        </>
      )}
    </svg>
  );
}

/** Where two limits read the same, one label says it. */
function labelsOf({
  upper,
  mean,
  lower,
}: NonNullable<Stage['limits']>): readonly (readonly [string, number])[] {
  return [...new Map([upper, mean, Math.max(0, lower)].map((value) => [value.toFixed(0), value]))];
}

function hadAnything({ days, queue }: Stage): boolean {
  return days.some(({ out }) => out > 0) || queue.some(({ waiting }) => waiting > 0);
}

interface QueueProps {
  readonly stage: Stage;
  readonly shift: SheetAnswer['shift'];
  readonly at: number;
  readonly zone: string;
}

function Queue({ stage: { queue }, shift, at, zone }: QueueProps) {
  const steps = [...queue, { at, waiting: queue.at(-1)?.waiting ?? 0 }];
  const most = Math.max(1, ...steps.map(({ waiting }) => waiting));
  const x = scaleLinear([shift.from, shift.to], [LEFT, WIDTH - RIGHT]).clamp(true);
  const y = scaleLinear([0, most], [HEIGHT - BOTTOM, TOP]).nice();
  const path = line<Stage['queue'][number]>(
    (step) => x(step.at),
    ({ waiting }) => y(waiting),
  ).curve(curveStepAfter);
  const said = `${pairs(queue[0]?.waiting ?? 0)} – ${pairs(queue.at(-1)?.waiting ?? 0)}`;
  return (
    <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={said}>
      {shift.breaks.map(({ from, to }) => (
        <rect
          key={from}
          class="shift-break"
          x={x(from)}
          y={TOP}
          width={x(to) - x(from)}
          height={HEIGHT - BOTTOM - TOP}
        />
      ))}
      {y.ticks(4).map((tick) => (
        <text key={tick} x={LEFT - 5} y={y(tick) + 4} text-anchor="end">
          {tick}
        </text>
      ))}
      <line class="shift-axis" x1={LEFT} x2={WIDTH - RIGHT} y1={y(0)} y2={y(0)} />
      <path class="shift-line" d={path(steps) ?? ''} />
      <text x={LEFT} y={HEIGHT - 6}>
        {clockTime(shift.from, zone)}
      </text>
      <text x={WIDTH - RIGHT} y={HEIGHT - 6} text-anchor="end">
        {clockTime(shift.to, zone)}
      </text>
    </svg>
  );
}

/** Pairs out of the works by the hour, this shift in the accent against the usual such weekday, dotted. Labels stand at the lines. */
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { HOUR_MS } from '../../domain/instant.ts';
import type { LookBackAnswer, SheetAnswer } from '../../wire/sheet.ts';
import { clockTime } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';

const [WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM] = [440, 220, 4, 22, 52, 26];
const MARKS_MAX = 6;
const LABELS_APART = 22;

interface Props {
  readonly hours: LookBackAnswer['hours'];
  readonly shift: SheetAnswer['shift'];
  readonly at: number;
  readonly zone: string;
  readonly weekday: string;
}

interface Point {
  readonly at: number;
  readonly value: number;
}

export function HourChart({ hours, shift, at: moment, zone, weekday }: Props) {
  const usual = hours.flatMap(({ at, usual }) => (usual === null ? [] : [{ at, value: usual }]));
  // The hour that has begun is drawn up to now.
  const now = hours.flatMap(({ at, boxed }) =>
    boxed === null ? [] : [{ at: Math.min(at, moment), value: boxed }],
  );
  const [nowEnd, usualEnd] = [now.at(-1), usual.at(-1)];
  if (nowEnd === undefined) return null;
  if (nowEnd.value === 0 && (usualEnd?.value ?? 0) === 0) {
    return (
      <section class="shift-hours" aria-labelledby="shift-hours">
        <h2 id="shift-hours">{shiftWords.hoursTitle}</h2>
        <p>{usualEnd === undefined ? shiftWords.noneOut : shiftWords.noneUsual(weekday)}</p>
      </section>
    );
  }
  const most = Math.max(1, nowEnd.value, usualEnd?.value ?? 0);
  const x = scaleLinear([shift.from, shift.to], [LEFT, WIDTH - RIGHT]);
  const y = scaleLinear([0, most], [HEIGHT - BOTTOM, TOP]);
  const path = line<Point>(
    ({ at }) => x(at),
    ({ value }) => y(value),
  );
  const said = [shiftWords.thisShift(nowEnd.value)];
  if (usualEnd !== undefined) said.push(shiftWords.usualDay(weekday, usualEnd.value));
  return (
    <section class="shift-hours" aria-labelledby="shift-hours">
      <h2 id="shift-hours">{shiftWords.hoursTitle}</h2>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={said.join('; ')}>
        <line class="shift-axis" x1={LEFT} x2={WIDTH - RIGHT} y1={y(0)} y2={y(0)} />
        {marksOf(shift).map((at, index) => (
          <text key={at} x={x(at)} y={HEIGHT - 6} text-anchor={index === 0 ? 'start' : 'middle'}>
            {clockTime(at, zone)}
          </text>
        ))}
        {usualEnd !== undefined && (
          <>
            <path class="shift-usual" d={path(usual) ?? ''} />
            <text
              x={x(usualEnd.at)}
              y={usualLabelAt(y(usualEnd.value), y(nowEnd.value), lowestUnder(usual, x, y))}
              text-anchor="end"
            >
              {shiftWords.usualDay(weekday, usualEnd.value)}
            </text>
          </>
        )}
        <path class="shift-line" d={path(now) ?? ''} />
        <text
          class="shift-strong"
          x={Math.max(x(nowEnd.at), LEFT + 90)}
          y={y(nowEnd.value) - 8}
          text-anchor="end"
        >
          {shiftWords.thisShift(nowEnd.value)}
        </text>
      </svg>
      {usualEnd === undefined && <p class="desk-calm">{shiftWords.noUsual}</p>}
    </section>
  );
}

const LABEL_WIDTH = 160;

/** How far down the line is where its label, at its end, would stand. */
function lowestUnder(
  usual: readonly Point[],
  x: (at: number) => number,
  y: (value: number) => number,
): number {
  const end = x(usual.at(-1)?.at ?? 0);
  return Math.max(...usual.filter(({ at }) => x(at) >= end - LABEL_WIDTH).map(({ value }) => y(value)));
}

/** Under its line where that is the lower one and there is room over the hours, else over it; clear of the other label. */
function usualLabelAt(line: number, other: number, lowest: number): number {
  const under = lowest + 18;
  if (line > other && under < HEIGHT - BOTTOM - 2) return under;
  const [label, taken] = [line - 8, other - 8];
  return Math.abs(label - taken) < LABELS_APART ? taken - LABELS_APART : label;
}

/** Whole hours of the shift, as many as can be read. */
function marksOf({ from, to }: { readonly from: number; readonly to: number }): readonly number[] {
  const step = Math.max(1, Math.ceil((to - from) / HOUR_MS / MARKS_MAX)) * HOUR_MS;
  return Array.from({ length: Math.ceil((to - from) / step) }, (_, index) => from + index * step);
}

/** What is usual by an instant between two hours, or null where nothing usual is known. */
export function usualBy(hours: LookBackAnswer['hours'], at: number): number | null {
  const after = hours.findIndex((hour) => hour.at >= at);
  const [one, other] = [hours[Math.max(0, after - 1)], hours[after]];
  if (one === undefined || other === undefined || one.usual === null || other.usual === null) return null;
  if (other.at === one.at) return other.usual;
  return one.usual + ((other.usual - one.usual) * (at - one.at)) / (other.at - one.at);
}

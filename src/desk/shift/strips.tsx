/** The shift as a strip for each bench: a bar for each pair clocked in, breaks as pale ground. */
import { scaleLinear } from 'd3-scale';
import type { LookBackAnswer, SheetAnswer } from '../../wire/sheet.ts';
import { pairShown } from '../../words/desk.ts';
import { clockTime } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';

const [WIDTH, ROW, NAME, TOP] = [1200, 30, 190, 26];
const LANE_MAX = 4;

interface Props {
  readonly strips: LookBackAnswer['strips'];
  readonly shift: SheetAnswer['shift'];
  readonly at: number;
  readonly zone: string;
}

type Spell = LookBackAnswer['strips'][number]['spells'][number];

export function Strips({ strips, shift, at, zone }: Props) {
  const x = scaleLinear([shift.from, shift.to], [NAME, WIDTH]).clamp(true);
  const height = TOP + strips.length * ROW;
  const hours = hoursOf(shift);
  return (
    <section class="shift-strips" aria-labelledby="shift-strips">
      <h2 id="shift-strips">{shiftWords.strips}</h2>
      {strips.length === 0 ? (
        <p>{shiftWords.noStrips}</p>
      ) : (
        <>
          <p class="desk-calm">{shiftWords.stripsHint}</p>
          <svg viewBox={`0 0 ${WIDTH} ${height}`} role="img" aria-label={shiftWords.strips}>
            {shift.breaks.map(({ from, to }) => (
              <rect
                key={from}
                class="shift-break"
                x={x(from)}
                y={TOP - 6}
                width={x(to) - x(from)}
                height={height}
              />
            ))}
            {hours.map((hour, index) => (
              <text key={hour} x={x(hour)} y={14} text-anchor={index === 0 ? 'start' : 'middle'}>
                {clockTime(hour, zone)}
              </text>
            ))}
            {strips.map(({ bench, name, spells }, row) => (
              <g key={bench} transform={`translate(0 ${TOP + row * ROW})`}>
                <text x="0" y={ROW / 2 + 2}>
                  {name}
                </text>
                <line class="shift-hair" x1={NAME} x2={WIDTH} y1={ROW - 4} y2={ROW - 4} />
                {inLanes(spells).map(({ spell, lane, lanes }) => (
                  <SpellBar key={`${spell.pair} ${spell.from}`} {...{ spell, lane, lanes, x, at, zone }} />
                ))}
              </g>
            ))}
          </svg>
        </>
      )}
    </section>
  );
}

interface BarProps {
  readonly spell: Spell;
  readonly lane: number;
  readonly lanes: number;
  readonly x: (at: number) => number;
  readonly at: number;
  readonly zone: string;
}

function SpellBar({ spell, lane, lanes, x, at, zone }: BarProps) {
  const { pair, from, to, timed, outcome } = spell;
  const known = to !== null && timed;
  const thick = (ROW - 8) / lanes;
  const end = known ? to : at;
  const kind = known ? (outcome === 'done' ? 'shift-done' : 'shift-unfinished') : 'shift-open';
  return (
    <rect
      class={`shift-spell ${kind}`}
      x={x(from)}
      y={lane * thick}
      width={Math.max(2, x(end) - x(from) - 1)}
      height={thick - 1}
    >
      <title>
        {shiftWords.strip(pairShown(pair), clockTime(from, zone), known ? clockTime(to, zone) : null)}
      </title>
    </rect>
  );
}

/** Pairs open at once lie over each other in lanes. */
function inLanes(spells: readonly Spell[]): { spell: Spell; lane: number; lanes: number }[] {
  const ends: number[] = [];
  const placed = [...spells]
    .sort((one, other) => one.from - other.from)
    .map((spell) => {
      const free = ends.findIndex((end) => end <= spell.from);
      const lane = free >= 0 ? free : Math.min(ends.length, LANE_MAX - 1);
      ends[lane] = Math.max(ends[lane] ?? 0, spell.to ?? Number.POSITIVE_INFINITY);
      return { spell, lane };
    });
  const lanes = Math.max(1, ends.length);
  return placed.map((one) => ({ ...one, lanes }));
}

const HOUR_MS = 3_600_000;

function hoursOf({ from, to }: { from: number; to: number }): number[] {
  const step = to - from > 12 * HOUR_MS ? 2 * HOUR_MS : HOUR_MS;
  return Array.from({ length: Math.ceil((to - from) / step) }, (_, index) => from + index * step);
}

/** The shift as a strip for each bench: a bar for each pair clocked in, breaks as pale ground. */
import { scaleLinear } from 'd3-scale';
import { HOUR_MS, type Instant } from '../../domain/instant.ts';
import type { LookBackAnswer, SheetAnswer } from '../../wire/sheet.ts';
import { pairShown } from '../../words/desk.ts';
import { clockTime } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';

/** Drawn to any width: words stand beside the drawing, so that they keep their size. */
const [WIDTH, HEIGHT] = [1000, 24];
const LANE_MAX = 4;
const BAR_LEAST = 2;

interface Props {
  readonly strips: LookBackAnswer['strips'];
  readonly shift: SheetAnswer['shift'];
  readonly at: Instant;
  readonly zone: string;
}

type Spell = LookBackAnswer['strips'][number]['spells'][number];
type Scale = (at: Instant) => number;

export function Strips({ strips, shift, at, zone }: Props) {
  const x = scaleLinear([shift.from, shift.to], [0, WIDTH]).clamp(true);
  return (
    <section class="shift-strips" aria-labelledby="shift-strips">
      <h2 id="shift-strips">{shiftWords.strips}</h2>
      {strips.length === 0 ? (
        <p>{shiftWords.noStrips}</p>
      ) : (
        <>
          <p class="desk-calm">{shiftWords.stripsHint}</p>
          <div class="shift-hours-row" aria-hidden="true">
            {hoursOf(shift).map((hour) => (
              <span key={hour} style={{ insetInlineStart: `${(100 * x(hour)) / WIDTH}%` }}>
                {clockTime(hour, zone)}
              </span>
            ))}
          </div>
          <ul>
            {strips.map(({ bench, name, spells }) => (
              <li key={bench}>
                <span>{name}</span>
                <Strip spells={spells} breaks={shift.breaks} x={x} at={at} zone={zone} />
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

interface StripProps {
  readonly spells: readonly Spell[];
  readonly breaks: SheetAnswer['shift']['breaks'];
  readonly x: Scale;
  readonly at: Instant;
  readonly zone: string;
}

function Strip({ spells, breaks, x, at, zone }: StripProps) {
  return (
    <svg
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={shiftWords.stripSaid(spells.length)}
    >
      {breaks.map(({ from, to }) => (
        <rect key={from} class="shift-break" x={x(from)} y={0} width={x(to) - x(from)} height={HEIGHT} />
      ))}
      {inLanes(spells).map((placed) => (
        <SpellBar key={`${placed.spell.pair} ${placed.spell.from}`} {...placed} x={x} at={at} zone={zone} />
      ))}
    </svg>
  );
}

interface Placed {
  readonly spell: Spell;
  readonly lane: number;
  readonly lanes: number;
}

function SpellBar({ spell, lane, lanes, x, at, zone }: Placed & Omit<StripProps, 'spells' | 'breaks'>) {
  const { pair, from, to, timed, outcome } = spell;
  const known = to !== null && timed;
  const thick = (HEIGHT - 2) / lanes;
  const end = known ? to : at;
  const kind = known ? (outcome === 'done' ? 'shift-done' : 'shift-unfinished') : 'shift-open';
  return (
    <rect
      class={`shift-spell ${kind}`}
      x={x(from)}
      y={1 + lane * thick}
      width={Math.max(BAR_LEAST, x(end) - x(from) - 1)}
      height={thick - 1}
    >
      <title>
        {shiftWords.strip(pairShown(pair), clockTime(from, zone), known ? clockTime(to, zone) : null)}
      </title>
    </rect>
  );
}

/** Pairs open at once lie over each other in lanes. */
function inLanes(spells: readonly Spell[]): readonly Placed[] {
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

/** Whole hours of the shift; where it is long, every second. */
function hoursOf({ from, to }: SheetAnswer['shift']): readonly Instant[] {
  const step = to - from > 12 * HOUR_MS ? 2 * HOUR_MS : HOUR_MS;
  return Array.from({ length: Math.ceil((to - from) / step) }, (_, index) => from + index * step);
}

/** The mark of a note's weight: the same shape on the shoe, in the list and on paper. */
import type { Weight } from '../domain/record/kinds.ts';
import { weightNames } from '../words/names.ts';

/** Corners at the distance `reach` from the middle, the first one at `turn` degrees clockwise from the top. */
function corners(count: number, reach: number, turn: number): string {
  return Array.from({ length: count }, (_, index) => {
    const angle = ((turn + (360 / count) * index) * Math.PI) / 180;
    return `${(reach * Math.sin(angle)).toFixed(2)},${(-reach * Math.cos(angle)).toFixed(2)}`;
  }).join(' ');
}

/** Half the height of the square about the origin that every shape fits. */
export const MARK_REACH = 20;

/** Areas matched by eye: a diamond needs its corners further out than a disc its rim. */
const POLYGONS = {
  mend: corners(4, 25.5, 45),
  ask: corners(4, 23.5, 0),
  stop: corners(8, 20.4, 22.5),
} as const;
const FIGURE_SIZES: Readonly<Record<Weight, number>> = { mind: 25, mend: 26, ask: 21, stop: 25 };

export interface MarkShapeProps {
  readonly weight: Weight;
  /** A number or one letter; two digits are set smaller. */
  readonly label?: string | undefined;
}

/** The bare shape about the origin, 40 units high, for use inside another drawing. */
export function MarkShape({ weight, label }: MarkShapeProps) {
  const size = FIGURE_SIZES[weight] * (label !== undefined && label.length > 1 ? 0.8 : 1);
  return (
    <g class={`weight-mark weight-mark--${weight}`}>
      {weight === 'mind' ? <circle r={19.5} /> : <polygon points={POLYGONS[weight]} />}
      {label === undefined ? null : (
        <text class="weight-mark-figure" y={size * 0.36} font-size={size} text-anchor="middle">
          {label}
        </text>
      )}
    </g>
  );
}

export interface WeightMarkProps extends MarkShapeProps {
  /** Height and width in CSS pixels. */
  readonly size: number;
}

/** The mark on its own, named for those who cannot see it: "Mind 1". */
export function WeightMark({ weight, label, size }: WeightMarkProps) {
  const name = label === undefined ? weightNames[weight] : `${weightNames[weight]} ${label}`;
  return (
    <svg class="drawing" role="img" aria-label={name} width={size} height={size} viewBox="-25 -25 50 50">
      <MarkShape weight={weight} label={label} />
    </svg>
  );
}

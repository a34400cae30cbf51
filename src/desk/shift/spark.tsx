/** Small bars beside a row's numbers: pairs out in each of the last shifts, this one in the accent. */
import { scaleLinear } from 'd3-scale';

const [WIDTH, HEIGHT, STEP, BAR] = [140, 22, 7, 4];

export function Spark({ values, label }: { readonly values: readonly number[]; readonly label: string }) {
  const shown = values.slice(-WIDTH / STEP);
  const y = scaleLinear()
    .domain([0, Math.max(1, ...shown)])
    .range([0, HEIGHT]);
  return (
    <svg class="shift-spark" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={label}>
      {shown.map((value, index) => {
        const height = value === 0 ? 1 : y(value);
        const x = WIDTH - (shown.length - index) * STEP;
        return (
          <rect
            key={index}
            class={index === shown.length - 1 ? 'shift-now' : undefined}
            x={x}
            y={HEIGHT - height}
            width={BAR}
            height={height}
          />
        );
      })}
    </svg>
  );
}

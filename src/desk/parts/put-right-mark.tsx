/** The mark of a kind: a shape and a colour of its own beside the word, with how many there are. */
import type { PutRightKind } from '../../domain/record/kinds.ts';

/** A dial for times, two leaves for what cannot both be so, steps for the order, a corner for what is not known. */
type Shape = 'dial' | 'leaves' | 'steps' | 'corner';

const SHAPES: Readonly<Record<PutRightKind, Shape>> = {
  'left-open': 'dial',
  'end-unknown': 'dial',
  'clock-doubtful': 'dial',
  'time-backwards': 'dial',
  'open-at-two-benches': 'leaves',
  'hand-at-two-benches': 'leaves',
  'logged-twice': 'leaves',
  'out-twice': 'leaves',
  'amended-apart': 'leaves',
  'answered-apart': 'leaves',
  'out-of-order': 'steps',
  'work-after-closing': 'steps',
  'never-logged': 'corner',
  'no-hand': 'corner',
  'out-without-in': 'corner',
  'hand-without-spell': 'corner',
  'time-without-spell': 'corner',
  'void-of-nothing': 'corner',
  'note-unknown': 'corner',
};

const PATHS: Readonly<Record<Shape, string>> = {
  dial: 'M20 2a18 18 0 1 0 0 36a18 18 0 1 0 0-36z',
  leaves: 'M2 2h28v8h8v28h-28v-8h-8z',
  steps: 'M2 38v-12h8v-12h10v-12h18v36z',
  corner: 'M20 1l19 19l-19 19l-19-19z',
};

export function PutRightMark({ kind, count }: { readonly kind: PutRightKind; readonly count: number }) {
  const shape = SHAPES[kind];
  return (
    <svg
      class={`put-right-mark put-right-${shape}`}
      viewBox="0 0 40 40"
      role="img"
      aria-label={String(count)}
    >
      <path d={PATHS[shape]} />
      <text x={shape === 'steps' ? 24 : 20} y={shape === 'steps' ? 31 : 25.5} text-anchor="middle">
        {count > 99 ? '99+' : count}
      </text>
    </svg>
  );
}

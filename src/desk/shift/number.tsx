/** A number that opens to its records. A nought is a quiet dot to the eye, and opens nothing. */
import { pairs, shiftWords } from '../../words/shift.ts';
import type { Open, Opened } from './shift-parts.ts';

interface Props extends Opened {
  readonly value: number;
  readonly onOpen: Open;
  /** What is shown instead of the count. */
  readonly shown?: string | undefined;
}

export function FigureNumber({ value, shown, onOpen, ...opened }: Props) {
  if (value === 0) {
    return (
      <>
        <span aria-hidden="true">·</span>
        <span class="desk-heard-only">0</span>
      </>
    );
  }
  const { figure, name } = opened;
  const label = shiftWords.open(shiftWords.figures[figure], name ?? shiftWords.line);
  const text = shown ?? pairs(value);
  return (
    <button
      type="button"
      class="shift-number"
      aria-label={`${text}. ${label}`}
      onClick={() => onOpen(opened)}
    >
      {text}
    </button>
  );
}

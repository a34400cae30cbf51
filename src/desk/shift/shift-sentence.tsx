/** The first thing to read: what went out, and which stage holds the line back, with its numbers. */
import type { SheetAnswer } from '../../wire/sheet.ts';
import { weekdayName } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';

interface Props {
  readonly sheet: SheetAnswer;
  /** What has gone out by then on a usual such day; null where that is not known. */
  readonly usual: number | null;
  readonly zone: string;
}

export function ShiftSentence({ sheet: { line, shift, at }, usual, zone }: Props) {
  const { holdsBack, boxed } = line;
  return (
    <p class="desk-sentence">
      {shiftWords.boxed(boxed, usual, { runs: at < shift.to, weekday: weekdayName(shift.day) })}{' '}
      {holdsBack === null ? (
        shiftWords.nothingWaits
      ) : (
        <>
          <b>{shiftWords.holdsBack(holdsBack)}</b> {shiftWords.why(holdsBack, at, zone)}
        </>
      )}
    </p>
  );
}

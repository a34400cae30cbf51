/** Which shift the sheet is of, and the way to others. */
import type { SheetAnswer, ShiftSpanWire } from '../../wire/sheet.ts';
import { dayOf } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';
import { addressOfShift, goTo } from '../address.ts';

interface HeadProps {
  readonly sheet: SheetAnswer;
  readonly site: string;
  readonly zone: string;
}

export function ShiftHead({ sheet: { shift, at, handsOn }, site, zone }: HeadProps) {
  return (
    <header class="desk-head">
      <h1>{shiftWords.heading(shift.name, shift.from, zone)}</h1>
      <p class="desk-place">
        <span>{shiftWords.hours(shift.from, shift.to, zone)}</span>
        {shift.overtime && <span>{shiftWords.overtime}</span>}
        <span>{shiftWords.on(handsOn)}</span>
        <span>{site}</span>
      </p>
      {at < shift.to && <p class="desk-fresh">{shiftWords.running(at, zone)}</p>}
    </header>
  );
}

interface ChoiceProps {
  /** The newest first. */
  readonly shifts: readonly ShiftSpanWire[];
  readonly chosen: number | null;
  readonly zone: string;
}

export function ShiftChoice({ shifts, chosen, zone }: ChoiceProps) {
  const index = shifts.findIndex(({ from }) => from === chosen);
  const [before, after] = [shifts[index + 1], index > 0 ? shifts[index - 1] : undefined];
  const go = (shift: ShiftSpanWire | undefined) => {
    if (shift !== undefined) goTo(addressOfShift(shift.from));
  };
  return (
    <div class="shift-choice shift-no-print">
      <button type="button" disabled={before === undefined} onClick={() => go(before)}>
        ‹ {shiftWords.before}
      </button>
      <select
        aria-label={shiftWords.choose}
        value={String(chosen ?? '')}
        onChange={(event) => goTo(addressOfShift(Number(event.currentTarget.value)))}
      >
        {index < 0 && chosen !== null && <option value={String(chosen)}>{dayOf(chosen, zone)}</option>}
        {shifts.map((shift) => (
          <option key={shift.from} value={String(shift.from)}>
            {`${shiftWords.heading(shift.name, shift.from, zone)}, ${shiftWords.hours(shift.from, shift.to, zone)}`}
          </option>
        ))}
      </select>
      <button type="button" disabled={after === undefined} onClick={() => go(after)}>
        {shiftWords.after} ›
      </button>
      <button type="button" class="shift-print" onClick={() => window.print()}>
        {shiftWords.print}
      </button>
    </div>
  );
}

/** The shifts of the week: name, days, times and breaks of each. */
import type { ShiftRule } from '../../domain/calendar/calendar.ts';
import type { CalendarFault } from '../../domain/calendar/changes.ts';
import { weekdays, calendarWords as words } from '../../words/site-calendar.ts';
import { CalendarField, LineFaults, WallTimes } from './site-wall-time.tsx';

const SHIFTS_MAX = 5;
const NEW: ShiftRule = { name: '', days: [1, 2, 3, 4, 5], from: '', to: '', breaks: [] };

interface Props {
  readonly rules: readonly ShiftRule[];
  readonly may: boolean;
  readonly faultsOf: (line: number) => readonly CalendarFault['fault'][];
  readonly onRules: (rules: readonly ShiftRule[]) => void;
}

export function ShiftRules({ rules, may, faultsOf, onRules }: Props) {
  const put = (line: number, rule: ShiftRule) => onRules(rules.map((one, at) => (at === line ? rule : one)));
  return (
    <section aria-labelledby="site-shifts">
      <h2 id="site-shifts">{words.shifts}</h2>
      <p class="desk-calm">{rules.length === 0 ? words.noShifts : words.shiftsHint}</p>
      {rules.map((rule, line) => (
        <fieldset key={line} class="site-calendar-line">
          <legend class="desk-heard-only">{words.shift(rule.name)}</legend>
          <CalendarField
            name={words.name}
            value={rule.name}
            may={may}
            onValue={(name) => put(line, { ...rule, name })}
          />
          <Weekdays days={rule.days} may={may} onDays={(days) => put(line, { ...rule, days })} />
          <WallTimes timed={rule} may={may} onTimed={(timed) => put(line, { ...rule, ...timed })} />
          <button type="button" disabled={!may} onClick={() => onRules(rules.filter((_, at) => at !== line))}>
            {words.drop(rule.name)}
          </button>
          <LineFaults faults={faultsOf(line)} />
        </fieldset>
      ))}
      <button
        type="button"
        disabled={!may || rules.length >= SHIFTS_MAX}
        onClick={() => onRules([...rules, NEW])}
      >
        {words.addShift}
      </button>
    </section>
  );
}

interface WeekdaysProps {
  readonly days: readonly number[];
  readonly may: boolean;
  readonly onDays: (days: number[]) => void;
}

function Weekdays({ days, may, onDays }: WeekdaysProps) {
  return (
    <fieldset class="site-weekdays">
      <legend>{words.days}</legend>
      {weekdays.map((name, index) => {
        const day = index + 1;
        const on = days.includes(day);
        return (
          <label key={name}>
            <input
              type="checkbox"
              checked={on}
              disabled={!may}
              onChange={() =>
                onDays(on ? days.filter((one) => one !== day) : [...days, day].sort((a, b) => a - b))
              }
            />
            {name}
          </label>
        );
      })}
    </fieldset>
  );
}

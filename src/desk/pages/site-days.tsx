/** Days on which the works are shut, and shifts of one day beside those of the week. */
import type { Overtime, ShutDays } from '../../domain/calendar/calendar.ts';
import type { CalendarFault } from '../../domain/calendar/changes.ts';
import { calendarWords as words } from '../../words/site-calendar.ts';
import { CalendarField, LineFaults, WallTimes } from './site-wall-time.tsx';

interface Common {
  readonly may: boolean;
  readonly faultsOf: (line: number) => readonly CalendarFault['fault'][];
}

interface ShutProps extends Common {
  readonly shut: readonly ShutDays[];
  readonly onShut: (shut: readonly ShutDays[]) => void;
}

export function ShutLines({ shut, may, faultsOf, onShut }: ShutProps) {
  const put = (line: number, days: ShutDays) => onShut(shut.map((one, at) => (at === line ? days : one)));
  return (
    <section aria-labelledby="site-shut">
      <h2 id="site-shut">{words.shut}</h2>
      <p class="desk-calm">{shut.length === 0 ? words.noShut : words.shutHint}</p>
      {shut.map((days, line) => (
        <fieldset key={line} class="site-calendar-line">
          <legend class="desk-heard-only">{days.name}</legend>
          <CalendarField
            name={words.name}
            value={days.name}
            may={may}
            onValue={(name) => put(line, { ...days, name })}
          />
          <CalendarField
            type="date"
            name={words.firstDay}
            value={days.from}
            may={may}
            onValue={(from) => put(line, from > days.to ? { ...days, from, to: from } : { ...days, from })}
          />
          <CalendarField
            type="date"
            name={words.lastDay}
            value={days.to}
            may={may}
            onValue={(to) => put(line, { ...days, to })}
          />
          <button type="button" disabled={!may} onClick={() => onShut(shut.filter((_, at) => at !== line))}>
            {words.drop(days.name)}
          </button>
          <LineFaults faults={faultsOf(line)} />
        </fieldset>
      ))}
      <button type="button" disabled={!may} onClick={() => onShut([...shut, { name: '', from: '', to: '' }])}>
        {words.addShut}
      </button>
    </section>
  );
}

interface OvertimeProps extends Common {
  readonly overtime: readonly Overtime[];
  readonly onOvertime: (overtime: readonly Overtime[]) => void;
}

export function OvertimeLines({ overtime, may, faultsOf, onOvertime }: OvertimeProps) {
  const put = (line: number, shift: Overtime) =>
    onOvertime(overtime.map((one, at) => (at === line ? shift : one)));
  return (
    <section aria-labelledby="site-overtime">
      <h2 id="site-overtime">{words.overtime}</h2>
      <p class="desk-calm">{overtime.length === 0 ? words.noOvertime : words.overtimeHint}</p>
      {overtime.map((shift, line) => (
        <fieldset key={line} class="site-calendar-line">
          <legend class="desk-heard-only">{shift.name}</legend>
          <CalendarField
            name={words.name}
            value={shift.name}
            may={may}
            onValue={(name) => put(line, { ...shift, name })}
          />
          <CalendarField
            type="date"
            name={words.day}
            value={shift.day}
            may={may}
            onValue={(day) => put(line, { ...shift, day })}
          />
          <WallTimes timed={shift} may={may} onTimed={(timed) => put(line, { ...shift, ...timed })} />
          <button
            type="button"
            disabled={!may}
            onClick={() => onOvertime(overtime.filter((_, at) => at !== line))}
          >
            {words.drop(shift.name)}
          </button>
          <LineFaults faults={faultsOf(line)} />
        </fieldset>
      ))}
      <button
        type="button"
        disabled={!may}
        onClick={() => onOvertime([...overtime, { name: '', day: '', from: '', to: '', breaks: [] }])}
      >
        {words.addOvertime}
      </button>
    </section>
  );
}

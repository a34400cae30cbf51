/** From one time on the wall to another, with the breaks between; and the faults of a line. */
import type { ShiftRule } from '../../domain/calendar/calendar.ts';
import type { CalendarFault } from '../../domain/calendar/changes.ts';
import { calendarFaultLines, calendarWords as words } from '../../words/site-calendar.ts';
import { useOwnId } from '../parts/use-own-id.ts';

type Timed = Pick<ShiftRule, 'from' | 'to' | 'breaks'>;

const BREAKS_MAX = 8;

interface Props {
  readonly timed: Timed;
  readonly may: boolean;
  readonly onTimed: (timed: Timed) => void;
}

export function WallTimes({ timed, may, onTimed }: Props) {
  const { from, to, breaks } = timed;
  const put = (index: number, pause: Timed['breaks'][number]) =>
    onTimed({ ...timed, breaks: breaks.map((one, at) => (at === index ? pause : one)) });
  return (
    <>
      <span class="site-break">
        <CalendarField
          type="time"
          name={words.from}
          value={from}
          may={may}
          onValue={(value) => onTimed({ ...timed, from: value })}
        />
        <CalendarField
          type="time"
          name={words.to}
          value={to}
          may={may}
          onValue={(value) => onTimed({ ...timed, to: value })}
        />
        {from !== '' && to !== '' && to <= from && <span class="desk-calm">{words.nextDay}</span>}
      </span>
      <div class="site-breaks">
        {breaks.map((pause, index) => (
          <span key={index} class="site-break">
            <CalendarField
              type="time"
              name={words.breakFrom}
              value={pause.from}
              may={may}
              onValue={(value) => put(index, { ...pause, from: value })}
            />
            <CalendarField
              type="time"
              name={words.breakTo}
              value={pause.to}
              may={may}
              onValue={(value) => put(index, { ...pause, to: value })}
            />
            <button
              type="button"
              class="site-away"
              disabled={!may}
              aria-label={words.dropBreak}
              onClick={() => onTimed({ ...timed, breaks: breaks.filter((_, at) => at !== index) })}
            >
              ×
            </button>
          </span>
        ))}
        <button
          type="button"
          disabled={!may || breaks.length >= BREAKS_MAX}
          onClick={() => onTimed({ ...timed, breaks: [...breaks, { from: '', to: '' }] })}
        >
          {words.addBreak}
        </button>
      </div>
    </>
  );
}

interface FieldProps {
  readonly name: string;
  readonly value: string;
  readonly may: boolean;
  readonly type?: 'time' | 'date' | 'text';
  readonly onValue: (value: string) => void;
}

const NAME_MAX = 40;

export function CalendarField({ name, value, may, type = 'text', onValue }: FieldProps) {
  const id = useOwnId();
  const onInput = (event: { readonly currentTarget: HTMLInputElement }) => onValue(event.currentTarget.value);
  return (
    <p class="site-calendar-field">
      <label for={id}>{name}</label>
      {type === 'text' ? (
        <input id={id} type="text" value={value} disabled={!may} maxLength={NAME_MAX} onInput={onInput} />
      ) : (
        <input id={id} type={type} value={value} disabled={!may} onInput={onInput} />
      )}
    </p>
  );
}

export function LineFaults({ faults }: { readonly faults: readonly CalendarFault['fault'][] }) {
  if (faults.length === 0) return null;
  return <p class="site-line-faults">{faults.map((fault) => calendarFaultLines[fault]).join(' ')}</p>;
}

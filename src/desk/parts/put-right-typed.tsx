/** A day and a time typed in the site's own zone; in an hour that the clocks change it asks which was meant. */
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { dayOn } from '../../domain/calendar/wall-time.ts';
import type { Instant } from '../../domain/instant.ts';
import { typedTime } from '../../domain/put-right-typed.ts';
import { clockTime } from '../../words/format.ts';
import { putRightWords } from '../../words/put-right.ts';
import { useOwnId } from './use-own-id.ts';

type Coming = 'first' | 'second';

export interface TypedField {
  readonly field: JSX.Element;
  /** What was typed; null where it is not one instant yet, and the field says why. */
  read(): Instant | null;
}

/** @param filled begins with the time of `near`, not only with its day */
export function useTypedTime(label: string, near: Instant, timeZone: string, filled: boolean): TypedField {
  const [day, setDay] = useState(() => dayOn(timeZone, near));
  const [time, setTime] = useState(() => (filled ? clockTime(near, timeZone) : ''));
  const [coming, setComing] = useState<Coming | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const typed = typedTime(timeZone, day, time);
  const change = (set: () => void) => {
    set();
    setComing(null);
    setSays(null);
  };
  const read = (): Instant | null => {
    // Unchanged it is the very instant, seconds and all.
    if (filled && day === dayOn(timeZone, near) && time === clockTime(near, timeZone) && typed.is !== 'twice')
      return near;
    if (typed.is === 'at') return typed.at;
    if (typed.is === 'twice' && coming !== null) return typed[coming];
    setSays(whyNot(typed.is, time));
    return null;
  };
  const field = (
    <TypedTime
      label={label}
      day={day}
      time={time}
      onDay={(text) => change(() => setDay(text))}
      onTime={(text) => change(() => setTime(text))}
      says={typed.is === 'twice' ? putRightWords.twice(time) : says}
      coming={typed.is === 'twice' ? coming : undefined}
      onComing={setComing}
    />
  );
  return { field, read };
}

function whyNot(is: 'never' | 'twice' | 'unreadable', time: string): string {
  switch (is) {
    case 'never':
      return putRightWords.never(time);
    case 'twice':
      return putRightWords.twice(time);
    case 'unreadable':
      return putRightWords.unreadable;
  }
}

interface Props {
  readonly label: string;
  readonly day: string;
  readonly time: string;
  readonly onDay: (day: string) => void;
  readonly onTime: (time: string) => void;
  readonly says: string | null;
  /** Undefined where the time comes once. */
  readonly coming: Coming | null | undefined;
  readonly onComing: (coming: Coming) => void;
}

function TypedTime({ label, day, time, onDay, onTime, says, coming, onComing }: Props) {
  const id = useOwnId();
  const choice = (which: Coming, words: string) => (
    <label>
      <input type="radio" name={`${id}-coming`} checked={coming === which} onChange={() => onComing(which)} />
      {words}
    </label>
  );
  return (
    <fieldset class="put-right-typed" aria-describedby={`${id}-says`}>
      <legend>{label}</legend>
      <label>
        {putRightWords.day}
        <input type="date" value={day} onInput={({ currentTarget }) => onDay(currentTarget.value)} />
      </label>
      <label>
        {putRightWords.time}
        <input type="time" value={time} onInput={({ currentTarget }) => onTime(currentTarget.value)} />
      </label>
      <p id={`${id}-says`} role="status">
        {says}
      </p>
      {coming !== undefined && (
        <div class="put-right-coming">
          {choice('first', putRightWords.first)}
          {choice('second', putRightWords.second)}
        </div>
      )}
    </fieldset>
  );
}

/** Whether a break lies within a shift, by the wall alone: at or before its beginning, an end is on the day after. */
import { DAY_MS, MINUTE_MS } from '../instant.ts';
import type { ShiftRule } from './calendar.ts';

type OnTheWall = Pick<ShiftRule, 'from' | 'to'>;

const MINUTES_A_DAY = DAY_MS / MINUTE_MS;

export function holdsBreak(shift: OnTheWall, pause: OnTheWall): boolean {
  const length = minutesTo(shift.from, shift.to) || MINUTES_A_DAY;
  const pauseLength = minutesTo(pause.from, pause.to) || MINUTES_A_DAY;
  return minutesTo(shift.from, pause.from) + pauseLength <= length;
}

/** From one `22:00` to another, on the day after where that is earlier. */
function minutesTo(from: string, to: string): number {
  const minute = (time: string) => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));
  return (minute(to) - minute(from) + MINUTES_A_DAY) % MINUTES_A_DAY;
}

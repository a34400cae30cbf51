/**
 * Which of a stage's reminders are shown this time. Two of the stage's own and one for every machine or rack: few
 * enough to be read before hands go to the machine, and others the next time, so that they are read at all.
 */
import type { StageCode } from '../ids.ts';
import type { ReminderLine } from './reminder-lines.ts';
import { remindersFor } from './reminders.ts';

const OWN_SHOWN = 2;
const GENERAL = /^(GEN|LIFT)-/;

/**
 * The catalogue's lines whose turn it is.
 * @param turn any whole number that changes from pair to pair and stays while one pair is worked
 */
export function remindersInTurn(stage: StageCode, turn: number): readonly ReminderLine[] {
  return linesInTurn(remindersFor(stage), turn);
}

/** Of a stage's lines, as the site words them, those whose turn it is. */
export function linesInTurn<Line extends Pick<ReminderLine, 'id'>>(
  lines: readonly Line[],
  turn: number,
): readonly Line[] {
  const own = lines.filter(({ id }) => !GENERAL.test(id));
  const general = lines.filter(({ id }) => GENERAL.test(id));
  return [...inTurn(own, turn, OWN_SHOWN), ...inTurn(general, turn, 1)];
}

function inTurn<Line>(lines: readonly Line[], turn: number, most: number): readonly Line[] {
  const shown = Math.min(most, lines.length);
  return Array.from({ length: shown }, (_, index) => lines[(turn * shown + index) % lines.length]).filter(
    (line) => line !== undefined,
  );
}

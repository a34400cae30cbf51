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
 * @param turn any whole number that changes from pair to pair and stays while one pair is worked
 */
export function remindersInTurn(stage: StageCode, turn: number): readonly ReminderLine[] {
  const lines = remindersFor(stage);
  const own = lines.filter(({ id }) => !GENERAL.test(id));
  const general = lines.filter(({ id }) => GENERAL.test(id));
  return [...inTurn(own, turn, OWN_SHOWN), ...inTurn(general, turn, 1)];
}

function inTurn(lines: readonly ReminderLine[], turn: number, most: number): readonly ReminderLine[] {
  const shown = Math.min(most, lines.length);
  return Array.from({ length: shown }, (_, index) => lines[(turn * shown + index) % lines.length]).filter(
    (line) => line !== undefined,
  );
}

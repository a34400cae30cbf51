/** What is chosen, ticked or read on a card once the page works: kept apart, so that the first scan need not wait for it. */
import { SET_ASIDE } from '../domain/catalogue/set-aside.ts';
import type { Hurdle } from '../domain/record/kinds.ts';

export const sendBackWords = {
  which: 'Which shoe',
  wrong: 'What is wrong',
  stage: 'Or straight to a stage',
};

export const noteWords = {
  where: 'Where is it?',
  what: 'What is it?',
  elsewhere: 'Another place',
  views: { bottom: 'From below', outside: 'Outside', inside: 'Inside' },
  whole: (shoe: string) => `All of the ${shoe} one, or opened`,
};

export const reminderWords = {
  worded: (by: string, on: string) => `this site’s wording, ${by}, ${on}`,
  commonPractice: 'common practice',
};

export const rackWords = {
  empty: 'No pair stands on this rack. Open a pair’s card, then scan the rack to put it there',
  'clock-in': 'ready here',
  'clock-out': 'clocked in here',
  'scan-it': 'wants a scan of its own',
};

export const checkLabels = {
  probe: 'Felt for nail points with a probe, both shoes, before the heel socks',
  board: 'Set on a flat board and compared: height, shape, shade',
  openNotes: 'Notes not cured',
  unrecorded: 'Stages without a record',
  nothingOpen: 'No note is open, every stage has its record',
  things: 'Goes back to the owner',
  nothingCame: 'Nothing came with this pair',
  tagScanned: 'Second shoe: tag scanned',
  tagByEye: 'Second shoe: number read by eye',
  tagNotYet: 'Second shoe: not compared yet',
};

export const setAsideReasons: readonly string[] = Object.values(SET_ASIDE);

export const sendBackReason = 'Not right for this stage';

/** Why a stage has no record: never about a person. */
export const lateReasons = [
  'The scan was forgotten',
  'The tablet was out of use',
  'It was done by the neighbour stage',
  'It was done before this system',
];

export const letThroughReasons: Readonly<Record<Hurdle, readonly string[]>> = {
  'not-due': ['This pair goes another way', 'Looked at it: it is ready', 'Urgent, order changed'],
  'owners-yes': ['The owner has said yes by telephone', 'Only work that costs nothing more'],
  'not-released': ['Under my eye', 'Shown today, first pair'],
  'out-of-use': ['Done by hand', 'Another machine is used'],
  parted: ['One shoe is matched to the other here', 'The other shoe comes later today'],
  'not-on-route': ['Only this once'],
};

export const releaseReasons = [
  'Looked at it: work can go on',
  'Mended, the note can rest',
  'The owner knows and agrees',
];

export const passReasons = [
  'Looked at it: good enough to go',
  'The owner knows and agrees',
  'Done, and nobody wrote it down',
];

export const boxReasons = [
  'Kept back for the owner to collect',
  'The owner has it already',
  'Not found: the office tells the owner',
];

export const machineReasons = [
  'Guard broken or missing',
  'Runs rough or makes a noise',
  'Stop does not stop it',
  'Extraction is off',
  'Needle, knife or band broken',
  'Being cleared or set',
];

export const supervisorChoices = {
  notNeeded: (stage: string) => `${stage} is not needed for this pair`,
  needed: (stage: string) => `This pair needs ${stage.toLowerCase()}`,
  machineBack: 'The machine runs again',
};

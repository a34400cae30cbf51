/** Every sentence of the bench page that follows from work going well. Say what is so, then what to do. */
import { count, length } from './format.ts';
import type { Line } from './line.ts';

export const bench = {
  nobodyOn: {
    says: 'Scan your badge',
    next: 'Nobody is on at this bench',
  } satisfies Line,
  ready: (open: number): Line => ({
    says: 'Scan a ticket',
    next: open === 0 ? 'No pair is open here' : `${count(open, 'pair')} open here`,
  }),
  enrol: {
    waiting: {
      says: 'Scan the set-up code',
      next: 'The supervisor has it on paper, or type it',
    },
    asking: { says: 'Asking the server', next: 'A moment' },
    'unknown-code': {
      says: 'The server does not know this code',
      next: 'It may have run out. Ask for a new one',
    },
    'used-code': { says: 'This code has been used', next: 'Ask for a new one' },
    'no-server': {
      says: 'The server cannot be reached',
      next: 'Setting up needs the network. Then scan the code again',
    },
    'keeps-nothing': {
      says: 'This window keeps nothing',
      next: 'It may be a private window. Open Waxend in an ordinary one',
    },
    'records-wait': {
      says: 'Records still wait for the server',
      next: 'Bring the tablet where the server is reached, then scan the code again',
    },
    'too-many-tries': {
      says: 'Too many tries',
      next: 'Wait a minute, then scan the code again',
    },
  } satisfies Readonly<Record<string, Line>>,
  clockedIn: (time: string): Line => ({
    says: `Clocked in ${time}`,
    next: 'Scan the ticket again when it is done',
  }),
  clockedOut: (time: string, spell: string): Line => ({
    says: `Clocked out ${time}`,
    next: `Done in ${spell}. Scan the next ticket`,
  }),
  stillOpen: (since: string): Line => ({
    says: `Clocked in since ${since}`,
    next: 'Scan the ticket when it is done',
  }),
  notFinished: {
    says: 'Put down, not finished',
    next: 'Scan the ticket to go on with it',
  } satisfies Line,
  setAside: (reason: string): Line => ({ says: 'Set aside', next: reason }),
  sentBack: (stage: string): Line => ({
    says: `Sent back to ${stage}`,
    next: 'Put it on the rack for that bench',
  }),
  undone: { says: 'Undone', next: 'It is as it was before' } satisfies Line,
  seeNotes: (notes: number): Line => ({
    says: notes === 1 ? 'One note to see first' : `${notes} notes to see first`,
    next:
      notes === 1 ? 'Tap Seen, and the pair is clocked in' : 'Tap Seen on each, and the pair is clocked in',
  }),
  noteCameIn: (notes: number): Line => ({
    says: notes === 1 ? 'A note has come in' : `${notes} notes have come in`,
    next: 'Stop and read, then tap Seen. The pair is clocked in',
  }),
  setUpInSettings: {
    says: 'That is a set-up code',
    next: 'Nothing was changed. To set this tablet up anew, open the settings above and scan it there',
  } satisfies Line,
  readingIn: {
    says: 'Still reading in the site’s pairs',
    next: 'Nothing was recorded. Scan the ticket again in a moment',
  } satisfies Line,
  stopped: (ask: string): Line => ({
    says: 'Stop. Do not work this pair',
    next: `Ask ${ask}`,
  }),
  badgedOn: (name: string): Line => ({
    says: `${name} is on`,
    next: 'Scan a ticket',
  }),
  badgedOff: (name: string): Line => ({
    says: `${name} is off`,
    next: 'Scan your badge to begin',
  }),
  handedOver: (from: string, to: string, open: number): Line => ({
    says: `${to} is on`,
    next:
      open === 0 ? `${from} is off. Scan a ticket` : `${from} is off. ${count(open, 'pair')} still open here`,
  }),
  unknownTicket: {
    says: 'Not in the office book',
    next: 'Work goes on. The office will see it',
  } satisfies Line,
  uncheckedTicket: 'The site’s own number: it has no check character, so compare it with the ticket',
  updateReady: 'A new version is ready',
  chooseReason: {
    says: 'Why is it set aside?',
    next: 'Tap one',
  } satisfies Line,
  chooseStage: { says: 'Back to which stage?', next: 'Tap one' } satisfies Line,
};

export const actions = {
  seen: 'Seen',
  undo: 'Undo',
  clockOut: 'Clock out',
  notFinished: 'Not finished',
  setAside: 'Set aside',
  sendBack: 'Send back',
  leave: 'Leave it',
  notThisPair: 'Not this pair',
  toBench: 'To the bench',
  typeIt: 'Type it',
  closeKeypad: 'Close',
  enter: 'Enter',
  rubOut: 'Rub out',
  light: 'Light on',
  lightOff: 'Light off',
  startCamera: 'Start the camera',
  settings: 'Bench settings',
  tryAgain: 'Try again',
  giveUp: 'Leave it unrecorded',
  updateNow: 'Use it now',
  back: 'Back',
  setStages: 'Set these stages',
};

export const questions = {
  'open-by-another': (name: string, since: string) => ({
    line: {
      says: `${name} has it open since ${since}`,
      next: 'Is that work finished?',
    },
    yes: `Finished`,
    other: 'I take it on',
  }),
  'open-elsewhere': (place: string, name: string) => ({
    line: {
      says: `Open at ${place}`,
      next: `${name} has it clocked in there. Is it here now?`,
    },
    yes: 'Clock in here too',
    other: null,
  }),
  'done-already': (stage: string, whoAndWhen: string) => ({
    line: {
      says: `${stage} is done already`,
      next: `${whoAndWhen}. Do it again?`,
    },
    yes: 'Do it again',
    other: null,
  }),
  'set-aside': (reason: string) => ({
    line: { says: 'This pair is set aside', next: reason },
    yes: 'Take it up again',
    other: null,
  }),
  closed: () => ({
    line: {
      says: 'This pair has left the works',
      next: 'Is it back for more work?',
    },
    yes: 'Clock it in',
    other: null,
  }),
};

/** Why a pair is set aside: short, and never about a person. */
export const setAsideReasons = [
  'Waits for a part',
  'Waits for its last',
  'Still wet or setting',
  'Needs a skilled hand',
  'Machine out of use',
  'Ask the office',
];

export const sendBackReason = 'Not right for this stage';

export const keptHere = (waiting: number, oldestMs: number | null): string =>
  waiting === 0
    ? 'All at the server'
    : `${count(waiting, 'record')} kept here${oldestMs !== null && oldestMs > 60_000 ? `, oldest ${length(oldestMs)}` : ''}`;

export const refusedHere = (refused: number): string =>
  `${count(refused, 'record')} the server would not take. Tell the supervisor`;

/** Why nothing was recorded. */
export const troubles: Readonly<Record<string, Line>> = {
  'no-storage': {
    says: 'Not recorded: this window keeps nothing',
    next: 'It may be a private window. Open Waxend from the home screen, use paper until then',
  },
  full: {
    says: 'Not recorded: the tablet is full',
    next: 'Free some space, then try again. Use paper until then',
  },
  'blocked-by-old-window': {
    says: 'Not recorded: an old window is open',
    next: 'Close the other Waxend window, then try again',
  },
  unreadable: {
    says: 'Not recorded: the store cannot be read',
    next: 'Stop using this tablet and tell the supervisor. Use paper',
  },
  stuck: {
    says: 'Not recorded: the store does not answer',
    next: 'Try again. If it stays so, close and open Waxend',
  },
  'lost-connection': {
    says: 'Not recorded: the store was closed',
    next: 'Try again. If it stays so, close and open Waxend',
  },
};

export const cardLabels = {
  job: 'job',
  lastSizeFit: 'last · size · fitting',
  promised: 'promised',
  before: 'before you',
  nothingBefore: 'nothing yet',
  unknown: 'No record of this ticket on this tablet',
  stage: 'stage',
  notes: 'Notes',
  noNotes: 'No note for this stage',
  reminders: 'Before you start',
  seenAt: (time: string) => `seen ${time}`,
  notedAt: (stage: string, time: string) => `${stage}, ${time}`,
};

export const enrolWords = {
  title: 'This tablet is not set up yet',
  steps: [
    'Ask the supervisor for this bench’s set-up code.',
    'Hold it to the camera, scan it, or tap Type it.',
    'Then whoever works here scans a badge.',
  ],
};

export const readyLabels = {
  openHere: 'Open here',
  noneOpen: 'No pair is open at this bench',
  doneThisShift: 'done this shift',
  doneHere: 'Done here this shift',
  clockedOut: (time: string) => `clocked out ${time}`,
  since: (time: string) => `since ${time}`,
  of: (name: string) => name,
};

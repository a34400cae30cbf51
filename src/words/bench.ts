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
      says: 'Records or photographs still wait for the server',
      next: 'Bring the tablet where the server is reached, then scan the code again',
    },
    'refused-kept': {
      says: 'Records that the server would not take are still here',
      next: 'Another site’s set-up would wipe them. Show the supervisor first; the code is used up',
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
  reminders: {
    says: 'Before you start',
    next: 'First time here today, or the wording changed. Look, then tap Looked',
  } satisfies Line,
  stopCameIn: (ask: string): Line => ({
    says: 'Stop. A note has come in',
    next: `Put the pair down as not finished, or ask ${ask} for a badge`,
  }),
  checking: (ready: boolean): Line =>
    ready
      ? { says: 'Pass this pair?', next: 'Scan its ticket again, or tap Pass' }
      : { says: 'Feel for nail points, compare the pair', next: 'Tick both, then pass it or send it back' },
  boxing: (tag: boolean): Line =>
    tag
      ? { says: 'Everything back in the box?', next: 'Tick what goes back, then tap Boxed' }
      : {
          says: 'Scan the second shoe’s tag',
          next: 'So that no pair is mixed. No tag: read its number by eye',
        },
  finding: {
    says: 'Scan what you find',
    next: 'It is noted as found here. Nothing is clocked in',
  } satisfies Line,
  found: (ticket: string): Line => ({ says: 'Found here', next: `${ticket} is noted at this bench` }),
  rack: (name: string, pairs: number): Line => ({
    says: `${name}: ${count(pairs, 'pair')}`,
    next:
      pairs === 0
        ? 'Scan the rack with a pair’s card open to put the pair on it'
        : 'One touch for all, or scan one ticket',
  }),
  racked: (name: string): Line => ({ says: `On ${name}`, next: 'Scan the next ticket' }),
  joined: (name: string): Line => ({ says: `${name} works on it too`, next: 'Both are in the record' }),
  parted: (shoe: string): Line => ({
    says: `Parted: the ${shoe} shoe goes alone`,
    next: 'The other waits here. Put its tag on it',
  }),
  noted: {
    nothing: { says: 'Noted', next: 'The stages that must see it will' },
    owner: { says: 'Noted, and the owner is asked', next: 'Nothing more is cut until the yes has come' },
    stage: { says: 'Noted, and the stage is asked for', next: 'It is on this pair’s way now' },
    stop: {
      says: 'Noted. Nobody works this pair now',
      next: 'Until a supervisor has looked and scanned a badge',
    },
  } satisfies Readonly<Record<string, Line>>,
  cured: { says: 'Cured', next: 'The note is closed, and stays in the record' } satisfies Line,
  released: { says: 'Released', next: 'Work can go on' } satisfies Line,
  pictured: { says: 'Photograph kept', next: 'It goes to the office with the records' } satisfies Line,
  noPicture: {
    'not-a-picture': { says: 'That is no photograph', next: 'Nothing was kept. Take it again' },
    'too-large': {
      says: 'That photograph is too large',
      next: 'Nothing was kept. Take it again with less detail',
    },
    'not-kept': {
      says: 'The tablet could not keep it',
      next: 'Free some space, then take it again. Nothing was kept',
    },
    unreadable: { says: 'The photograph cannot be read', next: 'Nothing was kept. Take it again' },
  } satisfies Readonly<Record<string, Line>>,
  machineStopped: {
    says: 'Out of use',
    next: 'Everybody who scans here is told. Hang a tag on the machine and tell the supervisor',
  } satisfies Line,
  machineBack: { says: 'The machine is in use again', next: 'Scan the next ticket' } satisfies Line,
  many: (did: 'in' | 'out', pairs: number, left: number): Line => ({
    says: `${count(pairs, 'pair')} clocked ${did}`,
    next:
      left === 0
        ? 'Scan the next ticket'
        : left === 1
          ? '1 pair wants a scan of its own'
          : `${left} pairs want a scan of their own`,
  }),
  more: { says: 'What else?', next: 'Tap one' } satisfies Line,
  chooseShoe: { says: 'Which shoe goes alone?', next: 'The other waits here' } satisfies Line,
  whyMachine: { says: 'Why is it out of use?', next: 'Tap one' } satisfies Line,
  whyLate: {
    says: 'Why has it no scan?',
    next: 'Tap one. It is recorded without a time or a name',
  } satisfies Line,
  whyPass: { says: 'Something is still open', next: 'Tap why it passes all the same' } satisfies Line,
  whyBox: { says: 'Not everything is back', next: 'Tap why' } satisfies Line,
  secondHand: { says: 'Scan the other hand’s badge', next: 'Both work on this pair' } satisfies Line,
  placeNote: { says: 'Where is it?', next: 'Tap the place on the shoe, then what it is' } satisfies Line,
  allReminders: {
    says: 'All reminders of this stage',
    next: 'The machine’s manual and this site’s rules come first',
  } satisfies Line,
  clockedOut: (time: string, spell: string): Line => ({
    says: `Clocked out ${time}`,
    next: `Done in ${spell}. Scan the next ticket`,
  }),
  forgotten: (since: string): Line => ({
    says: `Clocked in since ${since}`,
    next: 'Nobody scanned it out. What became of it? A time that is not known is left out',
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
  sentBack: (stage: string, shoe: string | null): Line => ({
    says: shoe === null ? `Sent back to ${stage}` : `${shoe} sent back to ${stage}`,
    next: shoe === null ? 'Put it on the rack for that bench' : 'The other shoe waits here, with its tag',
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
    next: `${ask} can release it by badge`,
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
  cured: 'Cured',
  looked: 'Looked',
  addNote: 'Add a note',
  more: 'More',
  onward: 'Go on',
  photograph: 'Photograph',
  withAnother: 'With another hand',
  part: 'One shoe goes alone',
  machineOut: 'Machine out of use',
  allReminders: 'All reminders',
  onTo: (stage: string) => `On to ${stage.toLowerCase()}`,
  pass: 'Pass',
  boxed: 'Boxed',
  tagByEye: 'Read by eye',
  allDone: 'All done',
  rackIn: 'Clock all in',
  rackOut: 'All done',
  find: 'Just found',
  endFinding: 'Back to work',
  undo: 'Undo',
  clockOut: 'Clock out',
  notFinished: 'Not finished',
  doneThen: 'Done that day',
  doneNow: 'Done just now',
  goingOn: 'Still at it',
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

export const keptHere = (waiting: number, oldestMs: number | null): string =>
  waiting === 0
    ? 'All at the server'
    : `${count(waiting, 'record')} kept here${oldestMs !== null && oldestMs > 60_000 ? `, oldest ${length(oldestMs)}` : ''}`;

export const keptTooLong = (waiting: number, oldestMs: number): string =>
  `${keptHere(waiting, oldestMs)}. Tell the supervisor`;

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

/** Why nothing can be done here at all: the store cannot be opened or read. Nothing was to be recorded yet. */
export const broken: Readonly<Record<string, Line>> = {
  'no-storage': {
    says: 'This window keeps nothing',
    next: 'It may be a private window. Open Waxend from the home screen, use paper until then',
  },
  full: {
    says: 'The device is full',
    next: 'Free some space, then open Waxend again. Use paper until then',
  },
  'blocked-by-old-window': {
    says: 'An old window is open',
    next: 'Close the other Waxend window. If this one stays so, open it again',
  },
  unreadable: {
    says: 'The store cannot be read',
    next: 'Stop using this device and tell the supervisor. Use paper',
  },
  stuck: {
    says: 'The store does not answer',
    next: 'Close and open Waxend. If it stays so, tell the supervisor and use paper',
  },
  'lost-connection': {
    says: 'The store was closed',
    next: 'Close and open Waxend. If it stays so, tell the supervisor and use paper',
  },
};

export const cardLabels = {
  curedHere: 'can be cured here',
  setting: (stage: string, time: string) => `${stage}: let it set until ${time}`,
  partedNow: (shoe: string) => `Only the ${shoe} shoe`,
  asked: 'asked for',
  lastInUse: (ticket: string) => `Its last is in ${ticket}`,
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

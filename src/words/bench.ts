/** Every sentence of the bench page. Say what is so, then what to do. */
import type { CodeKind, Comparison } from '../domain/code.ts';
import { inGroups } from '../domain/code.ts';
import type { FlagKind } from '../domain/fold/pair.ts';
import type { Refusal } from '../domain/intent.ts';
import type { Job, Shoe, Weight } from '../domain/record/kinds.ts';
import { count, length } from './format.ts';

export interface Line {
  readonly says: string;
  readonly next: string;
}

const codeNames: Readonly<Record<CodeKind, string>> = {
  ticket: 'ticket',
  badge: 'badge',
  bench: 'set-up code',
};

export const jobNames: Readonly<Record<Job, string>> = {
  HL: 'Heel only',
  HF: 'Half sole',
  LG: 'Long sole',
  RS: 'Sole on the old welt',
  FB: 'Full rebuild',
};

export const shoeNames: Readonly<Record<Shoe, string>> = {
  left: 'left',
  right: 'right',
  both: 'both shoes',
};

export const weightNames: Readonly<Record<Weight, string>> = {
  mind: 'Mind',
  mend: 'Mend',
  ask: 'Ask',
  stop: 'Stop',
};

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

export function refusalLine(why: Refusal, ask: string): Line {
  switch (why.is) {
    case 'not-set-up':
      return {
        says: 'This tablet has no bench yet',
        next: 'Scan the set-up code first',
      };
    case 'badge-first':
      return {
        says: 'Scan your badge first',
        next: `Then scan ticket ${inGroups(why.pair).join(' ')} again`,
      };
    case 'unknown-badge':
      return {
        says: 'This badge is not known here',
        next: `Nothing was recorded. Ask ${ask}`,
      };
    case 'foreign':
      return foreignLine(why.code);
    case 'damaged':
      return damagedLine(why.code);
  }
}

function foreignLine(code: Extract<Refusal, { is: 'foreign' }>['code']): Line {
  const says = 'That is no code of ours';
  switch (code.why) {
    case 'empty':
      return { says: 'Nothing was read', next: 'Scan again, or type the code' };
    case 'too-long':
      return { says, next: 'It is far too long. Scan the ticket or a badge' };
    case 'control-characters':
      return { says, next: 'It holds hidden characters. Scan the ticket or a badge' };
    case 'not-ours':
      return { says, next: `It says “${code.text}”. Scan the ticket or a badge` };
  }
}

function damagedLine(code: Extract<Refusal, { is: 'damaged' }>['code']): Line {
  const name = codeNames[code.looksLike];
  const read = inGroups(code.text).join(' ');
  switch (code.why) {
    case 'length':
      return {
        says: `This ${name} is not whole`,
        next: `Read ${read}. Scan it again, or type it in full`,
      };
    case 'character':
      return {
        says: `This ${name} was misread`,
        next: `${code.compare.map(strange).join(', ')}. Read ${read}`,
      };
    case 'check':
      return {
        says: `This ${name} does not check`,
        next:
          code.compare.length === 0
            ? `Read ${read}. Compare it and type it again`
            : `Read ${read}. ${compareLine(code.compare)}`,
      };
  }
}

function strange({ position, read, perhaps }: Comparison): string {
  return perhaps === ''
    ? `no code has ${read} (place ${position})`
    : `no code has ${read}: is place ${position} ${perhaps}`;
}

function compareLine(compare: readonly Comparison[]): string {
  const [first, second] = compare;
  if (first === undefined) return 'Compare it';
  const one = `Is place ${first.position} ${first.read} or ${first.perhaps}?`;
  return second === undefined
    ? one
    : `${one} Or place ${second.position}: ${second.read} or ${second.perhaps}?`;
}

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

export const flagNames: Readonly<Record<FlagKind, string>> = {
  'never-logged': 'scanned, but never logged',
  'logged-twice': 'logged twice',
  'open-at-two-benches': 'open at two benches',
  'out-without-in': 'clocked out, never in',
  'out-twice': 'clocked out twice',
  'void-of-nothing': 'takes back an unknown record',
  'work-after-closing': 'worked after it left',
  'note-unknown': 'about an unknown note',
  'clock-doubtful': 'clock doubtful',
};

/** What a scan that cannot be taken says, though it is nobody's code. */
export const scannerLines = {
  azerty: {
    says: 'The scanner types for another keyboard',
    next: 'It is set for AZERTY. Nothing was recorded. Ask for it to be set to US English',
  },
  qwertz: {
    says: 'The scanner types for another keyboard',
    next: 'It is set for QWERTZ. Nothing was recorded. Ask for it to be set to US English',
  },
  'scanner-keys': {
    says: 'The scanner sent control keys',
    next: 'Nothing was recorded. Ask for it to be set to send plain characters',
  },
  'scanner-cut-short': {
    says: 'The scan broke off',
    next: 'Nothing was recorded. Scan again. The scanner must end with Enter',
  },
  'several-codes': {
    says: 'More than one code in view',
    next: 'Nothing was recorded. Show one ticket alone',
  },
  'still-in-view': { says: 'This code is still in view', next: 'Take it away, then show it again' },
} satisfies Readonly<Record<string, Line>>;

/** What the camera window says when there is no picture. */
export const cameraLines = {
  off: { says: 'Camera off', next: 'Tap to start it' },
  starting: { says: 'Camera starting', next: '' },
  live: { says: 'Hold the ticket in the frame', next: '' },
  refused: { says: 'The camera is not allowed', next: 'Allow it in the browser, or type the code' },
  none: { says: 'No camera here', next: 'Use a scanner, or type the code' },
  busy: { says: 'Another program has the camera', next: 'Close it, or type the code' },
  lost: { says: 'The camera stopped', next: 'Tap to start it again, or type the code' },
} satisfies Readonly<Record<string, Line>>;

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

export const settingsWords = {
  title: 'Bench settings',
  stages: 'Stages done at this bench',
  stagesHelp: 'Tap the stages, then set them. Several may be done here.',
  newCode: 'To set this tablet up for another bench, scan that bench’s set-up code now.',
  tablet: 'This tablet',
  bench: 'bench',
  storage: 'records on this tablet',
  storageAnswers: {
    lasting: 'Kept for good: the browser has promised not to clear them',
    'may-be-cleared': 'The browser may clear them when space is short. Add Waxend to the home screen',
    'cannot-say': 'The browser does not say whether it keeps them',
  },
  outbox: 'waiting for the server',
  refused: 'not taken by the server',
  server: 'server',
  serverStates: {
    reached: 'Reached',
    unreachable: 'Not reached. Work goes on, records are kept here',
    'perhaps-certificate': 'No secure connection, perhaps its certificate has run out. Records are kept here',
    stopped: 'Another site’s server answers here. Nothing is sent to it',
    paused: 'The server does not accept this tablet. Records are kept here',
    'not-tried': 'Not tried yet',
  },
  clock: 'clock',
  clockUnknown: 'Never compared with the server’s',
  clockRight: 'Agrees with the server’s',
  clockWrong: (offset: string, way: 'behind' | 'ahead') =>
    `${offset} ${way}. Times are put right as they are recorded. Set the tablet’s clock`,
  decoder: 'reads codes with',
  words: 'Words of the trade',
  version: 'version',
};

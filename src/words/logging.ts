/** Every sentence of the page that logs a pair in, and of printing at the desk. */
import { calendarDay, count } from './format.ts';
import type { Line } from './line.ts';

export const printing = {
  title: 'Tickets and shoe tags',
  failed: 'Nothing was printed. Try again; the number stays the same.',
};

export const logging = {
  title: 'Log a pair in',
  nobody: 'Say who is at the desk first: then the pair can be logged in.',
  kept: 'What you enter stays in this browser until the pair is logged in.',
  notKept: 'This browser keeps nothing half done. Log the pair in before you leave the page.',
  clear: 'Clear it all',
  clearSure: 'Clear what was entered',
  optional: 'if there is one',

  thePair: 'The pair',
  ownerRef: 'Owner’s reference',
  ownerRefHint: 'What the office finds the owner by. No name, telephone or address: benches see it.',
  style: 'Style',
  styleHint: 'As you would ask for it across the room: brown derby',
  last: 'Last',
  size: 'Size',
  fitting: 'Fitting',
  unknownHint: 'Last, size or fitting not to be read: write a dash',
  maker: 'Maker’s mark',
  asked: 'What the owner asks for',
  ticket: 'Ticket in hand',
  forTicket: (ticket: string) => `For the pair with ticket ${ticket}, which was scanned and never logged.`,
  otherFirst: (ticket: string) =>
    `Another pair is being entered here. Log it in or clear the page, then come back for ${ticket}.`,
  ticketHint: 'Scan or type it if the pair has a ticket already. Left empty, it gets a new number.',

  withPair: 'What came with the pair',
  withPairHint: 'It goes back with the pair, and the ticket says so.',
  usualThings: ['Shoe trees', 'Laces', 'Shoe bag', 'Box', 'Heel socks', 'Spare top pieces'],
  other: 'Something else',
  add: 'Add',
  takeOff: (thing: string) => `Take off ${thing}`,

  condition: 'How worn',
  conditionHint: 'Worn to the lock: the sole seam’s threads begin to show.',
  shoe: { left: 'Left', right: 'Right' },
  parts: { sole: 'Sole', welt: 'Welt', heel: 'Heel' },
  states: {
    sole: { sound: 'Sound', worn: 'Worn', lock: 'To the lock', through: 'Through' },
    welt: { sound: 'Sound', 'short-tear': 'Short tear', 'long-tear': 'Long tear' },
    heel: { sound: 'Sound', 'top-piece': 'Top piece worn', lifts: 'Into the lifts' },
  },
  sameRight: 'Right as left',

  notes: 'Notes on the shoes',
  notesHint: 'Tap the place on the drawing, then what you see there.',
  views: { bottom: 'From below', inside: 'From the inside', outside: 'From the outside' },
  place: 'Another place',
  placeShoe: 'Shoe',
  wholePair: 'the pair as a whole',
  placeIt: 'Note it there',
  noNotes: 'No notes yet.',
  at: 'What is there?',
  found: 'Seen at this place',
  anyDefect: 'Anything else in the catalogue',
  choose: 'Choose',
  ownWords: 'In your own words',
  noteIt: 'Note it',
  notHere: 'Nothing here',
  weight: 'Weight',
  noteWords: 'What the bench should know',
  remove: (number: number) => `Remove note ${number}`,
  placeName: (shoe: string, zone: string, side: string | null) =>
    [shoe, zone, ...(side === null ? [] : [side])].join(', '),
  zoneViews: {
    bottom: 'Below',
    edge: 'Edge',
    upper: 'Upper',
    'inside-shoe': 'Inside the shoe',
    opened: 'Opened',
  },

  photos: 'Photographs',
  photosHint: 'Shoes only: no face, no paper with a name on it. Place and time are taken out of the picture.',
  take: 'Take a photograph',
  pick: 'Choose a picture',
  photo: (number: number) => `Photograph ${number}`,
  removePhoto: (number: number) => `Remove photograph ${number}`,
  preparing: 'Preparing the picture',
  notKeptPicture: {
    'not-a-picture': 'That file is no picture. Nothing was added.',
    'too-large': 'That picture is too large. Take a smaller one.',
    unreadable: 'That picture cannot be read here. Take another, or save it as JPEG.',
    'not-kept': 'The picture could not be kept on this machine. Free some space, then try again.',
  },

  job: 'The job',
  proposal: {
    'nothing-to-do': 'Nothing found calls for a job.',
    'no-kind-of-job': 'There is work, but no kind of job stands for it alone. Ask a supervisor.',
    job: (job: string) => `What was found calls for: ${job}.`,
    beyond: (job: string | null) =>
      `Perhaps beyond repair. Ask the owner before anything is cut${job === null ? '.' : `; if the answer is to go on: ${job}.`}`,
  },
  proposalSoFar: 'Enter how worn the shoes are, or notes, and a job is proposed.',
  decides: 'A proposal by rule. You decide.',
  reasons: (reasons: number) => `Why: ${count(reasons, 'reason')}`,
  onShoe: { left: 'left', right: 'right', both: 'both shoes' },
  /** A rule's own words, then what it was drawn from. */
  reason: (says: string, shoe: string, defect: string | null, asks: 'owner' | 'supervisor' | 'look' | null) =>
    [
      `${says.replace(/\.$/, '')} (${[shoe, ...(defect === null ? [] : [defect.toLowerCase()])].join(', ')}).`,
      ...(asks === null
        ? []
        : [
            { owner: 'Ask the owner.', supervisor: 'Ask a supervisor.', look: 'Look at the shoe again.' }[
              asks
            ],
          ]),
    ].join(' '),
  proposed: 'proposed',
  stages: 'Stages asked for besides',
  yes: 'The owner’s yes',
  yesAnswers: { 'to-ask': 'To be asked', given: 'Given', 'not-wanted': 'Not wanted' },
  promised: 'Promised for',
  promisedHint: (days: number) => `Proposed: ${count(days, 'day')} from today, as usual here for this job`,
  pastMeant: 'The day is past, and it is meant',

  save: 'Log the pair in',
  saving: 'Recording',
  toMend: (fields: number) =>
    fields === 1
      ? 'One thing to mend before it can be logged in'
      : `${fields} things to mend before it can be logged in`,
  notSaved: (line: Line) => `${line.says}. ${line.next}. What you entered is kept here.`,
  noNumber:
    'No new ticket number can be given: this desk’s numbers are used up. Set the desk up again with a new code.',

  logged: 'Logged in',
  loggedNext: (waiting: number) =>
    waiting === 0 ? 'The server has it.' : 'Kept here, and sent when the server is reached.',
  print: 'Print ticket and shoe tags',
  next: 'Log the next pair in',
};

/** Said beside the field. */
export const problems = {
  missing: 'Missing',
  tooLong: (most: number) => `Longer than ${most} characters`,
  noDay: 'No such day. Choose it anew',
  past: (day: string) => `${calendarDay(day)} is past. Choose another day, or say that it is meant`,
  noJob: 'Choose the kind of job',
  conditionHalf: 'Say it of sole, welt and heel of both shoes, or of none',
  noteNoWords: (number: number) => `Note ${number} says nothing yet`,
  ticketNone: 'That is no ticket number. Compare it character by character, or leave it empty',
  ticketTag: 'That is a shoe’s own tag. Scan the ticket',
  ticketLogged: 'A pair with this ticket is logged in already. Look it up instead',
  thingsTooMany: (most: number) => `More than ${most} things. Put some of them in one line`,
};

/** Written as the reason of records that the logging makes. */
export const whys = {
  stages: 'found when the pair was logged in',
  noYes: 'the owner’s yes is not wanted for this pair',
};

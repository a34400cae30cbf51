/** Every sentence of the desk's pages. Say what is so, then what to do. */
import { type Code, classify, inGroups } from '../domain/code.ts';
import type { Instant } from '../domain/instant.ts';
import { clockTime, count, dayOf, length, when } from './format.ts';
import type { Line } from './line.ts';
import { refusalLine } from './scans.ts';

export const deskSetUp = {
  title: 'This desk is not set up yet',
  next: 'Type or paste the desk’s set-up code. Whoever looks after the server can make one.',
  again: 'Set it up again with a new code, or open the page again once the server has been seen to.',
  moved: {
    says: 'This desk now keeps records of its own',
    next: 'Set it up once more, with a new set-up code. Nothing is lost: until now it kept only figures',
  } satisfies Line,
  recordsWait: {
    says: 'Records of this desk still wait for the server',
    next: 'The code has not been used. Ask whoever looks after the server to let this desk in again first',
  } satisfies Line,
  field: 'Set-up code',
  hint: 'It begins with W and has 12 characters. Small letters and spaces do not matter.',
  submit: 'Set up this desk',
  asking: 'Asking the server',
  keepsNothing: {
    says: 'This window keeps nothing',
    next: 'It may be a private window. Open the desk in an ordinary one; the code has not been used',
  } satisfies Line,
};

/** Why the server was of no help, whatever was asked of it. */
export const deskTroubles = {
  unreachable: {
    says: 'The server cannot be reached',
    next: 'Is the network on? The desk tries again by itself',
  },
  'not-understood': {
    says: 'The answer could not be read',
    next: 'The page may be older than the server. Load it anew; if it stays so, tell whoever looks after the server',
  },
  'for-a-bench': {
    says: 'That code is for a bench',
    next: 'It is used up now. Ask for a desk’s code, and for a new one for that bench',
  },
  'other-data': {
    says: 'This server holds other data than the desk was set up for',
    next: 'Nothing of it is shown here. Tell whoever looks after the server',
  },
  'bad-request': {
    says: 'The server did not understand the desk',
    next: 'The page may be older than the server. Load it anew',
  },
  'too-large': {
    says: 'The server found the question too large',
    next: 'Tell whoever looks after the server',
  },
  'no-key': { says: 'The server does not know this desk', next: 'Set it up with a new code' },
  'key-revoked': { says: 'This desk has been shut out', next: 'Set it up with a new code' },
  'wrong-site': { says: 'This desk belongs to another site', next: 'Open the page of its own server' },
  'code-unknown': {
    says: 'The server does not know this code',
    next: 'It may have run out. Ask for a new one',
  },
  'code-used': { says: 'This code has been used', next: 'Ask for a new one' },
  'too-many-tries': { says: 'Too many tries', next: 'Wait a minute, then try again' },
  'not-allowed': { says: 'The server does not allow this here', next: 'Ask for a desk’s set-up code' },
  'book-changed': {
    says: 'The site was changed at another desk in the meantime',
    next: 'Look at what stands there now, then make the change again',
  },
  'not-found': {
    says: 'The server does not know this question',
    next: 'The page may be newer than the server. Tell whoever looks after the server',
  },
  'server-fault': {
    says: 'The server is in trouble of its own',
    next: 'Tell whoever looks after it. The desk tries again by itself',
  },
} satisfies Readonly<Record<string, Line>>;

/** A set-up code is not yet due to be tried again by itself: what was typed waits for a tap. */
export const setUpUnreachable: Line = {
  says: 'The server cannot be reached',
  next: 'Setting up needs the network. Then try again with the same code',
};

/** What was typed instead of a set-up code. */
export function notASetUpCode(code: Exclude<Code, { kind: 'bench' }>): Line {
  const next = 'Type the desk’s set-up code: it begins with W';
  switch (code.kind) {
    case 'ticket':
      return { says: 'That is a pair’s ticket', next };
    case 'badge':
      return { says: 'That is a badge', next };
    case 'rack':
      return { says: 'That is a rack’s code', next };
    case 'damaged':
      return refusalLine({ is: 'damaged', code }, '');
    case 'foreign':
      return { says: code.why === 'empty' ? 'Nothing was typed' : 'That is no code of ours', next };
  }
}

/** A line of the bench stands alone and has no stop; in running text it needs one. */
export const stopped = (line: string): string => (/[.?]$/.test(line) ? line : `${line}.`);

export interface Piece {
  readonly text: string;
  readonly stress: boolean;
}

/** The first thing to read on the live page: what went out, what is open, what is odd. */
export function firstSentence(
  facts: {
    readonly pairsOut: number | null;
    readonly shift: boolean;
    readonly pairsOpen: number;
    readonly left: { readonly pairs: number; readonly oldest: Instant } | null;
    readonly toPutRight: number;
  },
  now: Instant,
  zone: string,
): readonly Piece[] {
  const { pairsOut, shift, pairsOpen, left, toPutRight } = facts;
  const pieces = [{ text: outAndOpen(pairsOut, shift, pairsOpen), stress: false }];
  if (left !== null) {
    const still = `${count(left.pairs, 'pair')} still clocked in from before the shift`;
    const since = `${left.pairs === 1 ? '' : 'the first '}since ${when(left.oldest, now, zone).replaceAll(' ', '\u00a0')}.`;
    pieces.push({ text: `${still},`, stress: true }, { text: since, stress: false });
  }
  if (toPutRight > 0) {
    pieces.push({ text: `${count(toPutRight, 'thing')} to put right.`, stress: left === null });
  }
  if (left === null && toPutRight === 0) pieces.push({ text: 'Nothing odd.', stress: false });
  return pieces;
}

function outAndOpen(pairsOut: number | null, shift: boolean, pairsOpen: number): string {
  if (pairsOut === null) {
    const open = pairsOpen === 0 ? 'No pair is open.' : `${count(pairsOpen, 'pair')} open now.`;
    return shift ? open : `No shift is on. ${open}`;
  }
  const out =
    pairsOut === 0 ? 'No pair has gone out yet this shift' : `${count(pairsOut, 'pair')} went out this shift`;
  const open =
    pairsOpen === 0 ? 'none is open now' : `${pairsOpen} ${pairsOpen === 1 ? 'is' : 'are'} open now`;
  return `${out}, ${open}.`;
}

/** A ticket of ours in groups of four, a site's own number as the site writes it. */
export function pairShown(pair: string): string {
  const code = classify(pair, 'camera');
  return code.kind === 'ticket' ? inGroups(pair).join(' ') : pair;
}

export const live = {
  page: 'Desk',
  heading: (shift: string | null, at: Instant, zone: string) =>
    `${shift ?? 'Between shifts'}, ${dayOf(at, zone)}`,
  hours: (from: Instant, to: Instant, zone: string) => `${clockTime(from, zone)}–${clockTime(to, zone)}`,
  upToDate: (at: Instant, zone: string, hints: boolean) =>
    hints ? `Live, up to date ${clockTime(at, zone)}` : `Up to date ${clockTime(at, zone)}, asks every 15 s`,
  figuresOf: (at: Instant, now: Instant, zone: string) => `These are the figures of ${when(at, now, zone)}`,
  old: (ageMs: number) => (ageMs < 60_000 ? 'less than a minute old' : `${length(ageMs)} old`),
  waiting: 'Asking the server for the figures',
  noFigures: 'There are no figures to show yet',
  stages: 'Stage by stage',
  stage: 'Stage',
  pairsIn: 'Pairs in',
  pairsOut: 'Pairs out',
  openNow: 'Open now',
  nothingAt: 'Nothing yet at',
  foot: (closing: string | null, shift: boolean) =>
    [
      ...(shift
        ? ['In and out: pairs clocked in and finished in this shift; the dark bar is out, the pale one in.']
        : []),
      'Stages in small type have nothing in, out or open.',
      ...(closing !== null && shift ? [`A pair has gone out when ${closing} is finished.`] : []),
    ].join(' '),
  open: 'Open now',
  pair: 'Pair',
  bench: 'Bench',
  hand: 'Hand',
  since: 'Since',
  nobody: 'nobody on',
  beforeShift: 'end not known',
  noneOpen: 'No pair is open.',
  length,
  when,
};

/** The head of every page of the desk. */
export const deskHead = {
  pages: 'Pages of the desk',
  names: { now: 'Now', shift: 'Shift', log: 'Log a pair in', where: 'Where is it', site: 'The site' },
  starting: 'Opening what this desk keeps',
  allSent: 'All sent',
  waiting: (records: number) => `${count(records, 'record')} to send`,
  unusable: (line: Line) => `${stopped(line.says)} ${stopped(line.next)}`,
};

/** Who is at the desk. */
export const seat = {
  who: 'Who is at the desk?',
  at: (name: string) => `${name} is at the desk`,
  change: 'Change',
  leave: 'Nobody',
  close: 'Close',
  badge: 'Badge',
  badgeHint: 'Scan your badge here, or tap your name',
  names: 'Office and supervisors',
  noNames:
    'The site’s book names nobody for the office. Add somebody on the page of the site, or with the office command.',
  notABadge: 'That is no badge. Scan your badge, or tap your name.',
  unknownBadge: 'The site does not know this badge. Tap your name instead.',
  handsBadge: (name: string) =>
    `${name} works at the benches. The office and supervisors are at the desk; the site’s book says who is which.`,
};

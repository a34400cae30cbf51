/** Every sentence of the list of what is to be put right at the desk. */
import type { Spell } from '../domain/fold/pair-state.ts';
import type { StageCode } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import type { Found } from '../domain/put-right-found.ts';
import type { Settling } from '../domain/put-right-settlings.ts';
import type { TimeOffer } from '../domain/put-right-times.ts';
import type { PutRightKind } from '../domain/record/kinds.ts';
import { pairShown } from './desk.ts';
import { putRightNames } from './doubt-names.ts';
import { clockTime, count, dayOf, when } from './format.ts';
import { benchShown, type Naming } from './whereabouts.ts';
import { handShown, stageShown } from './whereabouts-account.ts';

/** What it means, and what to look for, above the items of a kind. */
const hints: Readonly<Record<PutRightKind, string>> = {
  'left-open': 'Clocked in before this shift and never out. Choose when the work ended, and how.',
  'end-unknown': 'Somebody said later that it ended. Choose when, if anybody knows.',
  'open-at-two-benches':
    'Open at two benches that cannot both have it. One ended before, or is no work at all.',
  'hand-at-two-benches': 'Clocked in at two benches at once. One ended before, or is another’s work.',
  'out-of-order': 'Worked at a stage before what must come first has a record.',
  'clock-doubtful':
    'The tablet’s clock contradicts the order of its records. Who and what hold; when does not.',
  'never-logged': 'Work on a ticket that the office never logged in.',
  'no-hand': 'Work while nobody was badged on.',
  'work-after-closing': 'Worked after it had left the works. Is it back, or was another ticket scanned?',
  'logged-twice': 'Logged in twice under one ticket. The first holds.',
  'out-twice': 'Ended twice. The first end holds until somebody gives another.',
  'out-without-in': 'An end whose beginning is not there: taken back, or not yet sent.',
  'amended-apart': 'Put right at two desks that had not heard of each other. The later word holds.',
  'answered-apart': 'The owner’s answer was written down twice, and not alike. The later holds.',
  'hand-without-spell': 'A second hand at work that is not there.',
  'time-without-spell': 'A time given to work that is not there.',
  'time-backwards': 'The end that was given lies before the beginning.',
  'void-of-nothing': 'Takes back a record that is not there.',
  'note-unknown': 'Speaks of a note that is not there.',
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const offerNames: Readonly<Record<TimeOffer['is'], string>> = {
  'hand-next': 'the same hand’s next scan',
  'pair-next': 'the pair’s next scan',
  break: 'the next break began',
  'shift-end': 'that shift ended',
};

export const putRightWords = {
  title: 'To put right',
  nothing: 'Nothing.',
  kind: (kind: PutRightKind) => capital(putRightNames[kind]),
  hint: (kind: PutRightKind) => hints[kind],
  more: (items: number) => `Show ${count(items, 'more', 'more')}`,
  nobody: 'Nobody is at the desk. A supervisor who says so at the top of the page can settle these.',
  notSupervisor: (name: string | null, supervisors: readonly string[]) =>
    `${name ?? 'Whoever is at the desk'} cannot settle these: a supervisor has to do it${
      supervisors.length === 0 ? '' : ` (${supervisors.join(', ')})`
    }.`,
  why: 'A word on it, if it matters',
  about: 'The pair’s page',

  ended: 'When did it end?',
  endedOf: (work: string) => `When did ${work} end?`,
  bothEnds: 'Its true times',
  noOffer: 'No record near it tells. Ask the hand, and type the time.',
  offer: (is: TimeOffer['is']) => offerNames[is],
  done: 'Finished',
  notFinished: 'Not finished',
  endedThen: 'Ended then',
  nobodyKnows: 'Nobody knows when',
  another: 'Another time',
  began: 'Began',
  endedAt: 'Ended',
  day: 'Day',
  time: 'Time',
  give: 'Record these times',

  unreadable: 'Say day and time first.',
  backwards: 'That is before the work began.',
  crossed: 'It would end before it began.',
  ahead: 'That time is still to come.',
  never: (time: string) => `The clocks went forward: there was no ${time} that day. Type another time.`,
  twice: (time: string) => `The clocks went back: ${time} came twice that day. Which one?`,
  first: 'The first, before the change',
  second: 'The second, after it',

  log: 'Log it in with this ticket',
  stands: 'It stands as it is',
  wasDone: (stages: string) => `${stages}: done, not scanned`,
  notNeeded: (stages: string) => `${stages}: not needed`,
  backWork: (work: string) => `Take back the work at ${work}`,
  backRecord: 'Take this record back',
  backSure: 'What is taken back stays in the ledger and counts no more. It cannot be brought back.',
  backNow: 'Take it back',
  keep: 'Leave it',

  recording: 'Recording',
  recorded: (what: string, name: string) => `Recorded: ${what}, by ${name}.`,
  undo: 'Take back',
  undone: 'Taken back: it is on the list again.',
  undoneWhy: 'settled by mistake',
};

/** Why, in the record, where nobody has typed a word. */
export const stockWhys: Readonly<Record<Settling['by'], string>> = {
  time: 'time put right at the desk',
  log: 'logged at the desk',
  'done-unscanned': 'done, not scanned: put right at the desk',
  'not-needed': 'not needed: put right at the desk',
  'take-back': 'taken back at the desk',
  stands: 'looked into at the desk',
};

/** `Welt sewing, Welting` */
export function workShown({ stage, bench }: Pick<Spell, 'stage' | 'bench'>, naming: Naming): string {
  return `${stageShown(naming.book, stage)}, ${benchShown(bench, naming)}`;
}

/** The day is said though it is today: a time that is put right must not be read for another day's. */
export function instantShown(at: Instant, zone: string): string {
  return `${dayOf(at, zone)}, ${clockTime(at, zone)}`;
}

/** What stands beside the ticket: where, who, since when. */
export function itemLine(item: Found, naming: Naming): string {
  const { book, now } = naming;
  const { stage, bench, hand, since, spell } = item;
  const place =
    stage === null ? benchShown(bench, naming) : `${stageShown(book, stage)}, ${benchShown(bench, naming)}`;
  const until =
    spell?.timed && spell.to !== null && spell.from === since ? `–${clockTime(spell.to, book.timeZone)}` : '';
  return `${place} · ${handShown(book, hand)} · ${when(since, now, book.timeZone)}${until}`;
}

/** What it cannot stand beside, or what has no record; null where the kind says all. */
export function itemMore({ pair, against, missing }: Found, naming: Naming): string | null {
  const { book } = naming;
  if (missing.length > 0) return `No record of ${stagesShown(missing, naming)}`;
  const others = against.map(({ pair: other, spell }) => {
    const to = spell.to === null ? ', still open' : `–${clockTime(spell.to, book.timeZone)}`;
    const which = other === pair ? '' : `${pairShown(other)}, `;
    return `${which}${workShown(spell, naming)}, ${when(spell.from, naming.now, book.timeZone)}${to}`;
  });
  return others.length === 0 ? null : `Beside ${others.join('; ')}`;
}

export function stagesShown(stages: readonly StageCode[], { book }: Naming): string {
  return stages.map((stage) => stageShown(book, stage)).join(', ');
}

/** Every sentence of the page that says where a pair is. */
import type { Comparison } from '../domain/code.ts';
import type { NoteState, Spell } from '../domain/fold/pair-state.ts';
import type { BenchId, PairId, StageCode } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import type { SiteBook } from '../domain/site-book.ts';
import type { Left, Met, Place, ShoePlace, Waiting } from '../domain/whereabouts.ts';
import type { PromiseNow } from '../domain/whereabouts-promise.ts';
import { pairShown } from './desk.ts';
import { calendarDay, count, length, when } from './format.ts';
import { weightNames } from './names.ts';
import { handShown, onShoe, rackShown, stageShown } from './whereabouts-account.ts';

/** What is needed to name things and times. */
export interface Naming {
  readonly book: SiteBook;
  readonly now: Instant;
  /** The desk that the page runs on. */
  readonly desk: BenchId;
}

export const whereWords = {
  title: 'Where is it',
  search: 'Ticket, owner’s reference, last, size or style',
  results: (shown: number, all: number) =>
    shown < all ? `${shown} of ${count(all, 'pair')}` : count(all, 'pair'),
  none: 'No pair answers to that. Try less of it, or another thing that is known of the pair.',
  noneHere: 'No pair.',
  more: 'Show more',
  perhaps: (compare: readonly Comparison[]) => `Perhaps this one: ${compare.map(comparison).join(', ')}`,
  found: {
    ticket: 'by its ticket',
    owner: 'by the owner’s reference',
    last: 'by its last',
    size: 'by its size',
    style: 'by its style',
    maker: 'by the maker’s mark',
  },
  kinds: {
    works: 'In the works',
    owner: 'Owner’s answer',
    late: 'Late',
    unlogged: 'Never logged',
    out: 'Gone out',
  },
  choose: 'Choose a pair to see where it is.',
  back: 'Back to the list',
  notReadIn: 'This desk is still reading in what the server holds: a pair may be missing.',
  neverLogged: 'Scanned, but never logged',
  logIt: 'Log it in with this ticket',
  gone: 'This desk holds no record of that ticket.',
  tell: 'To say to the owner',
  facts: {
    where: 'Where it is',
    shoes: 'Left and right',
    waits: 'Waits for',
    next: 'Next',
    last: 'Its last',
    promise: 'Promised',
    back: 'Sent back',
    with: 'With the pair',
    asked: 'Asked for',
    maker: 'Maker’s mark',
    ask: 'Whom to ask',
    flags: 'To put right',
  },
  nothing: 'nothing',
  timesBack: (times: number) => (times === 1 ? 'once' : `${times} times`),
  lastIn: (last: string) => `${last}, in the shoes now`,
  lastHeld: (last: string, pair: PairId) => `${last}, now in ${pairShown(pair)}`,
  lastFree: (last: string) => `${last}, in no pair by the records`,
  reprints: (times: number) =>
    times === 1 ? 'second ticket printed once' : `second ticket printed ${times} times`,
  checkedWith: 'Final check passed',
  boxed: 'Boxed',
};

export const stageWords = {
  title: 'Stages',
  done: 'Done',
  left: 'Left, in the usual order',
  noneDone: 'Nothing is done yet.',
  noneLeft: 'Nothing is left.',
  noRoute: 'What is left is not known: the pair was never logged, or the site has no routes.',
  unscanned: 'done, not scanned',
  atDesk: 'the office',
  again: 'to be done again',
  saidLater: 'end said later',
  is: { 'at-work': 'at work now', due: 'due now', later: '' } satisfies Readonly<Record<Left['is'], string>>,
  after: (stages: readonly string[]) => `after ${stages.join(', ')}`,
  notNeeded: 'Not needed',
};

export const noteWordsAt = {
  title: 'Notes on the shoes',
  none: 'No note.',
  seenBy: (hands: readonly string[]) => `seen by ${hands.join(', ')}`,
  unseen: 'not seen yet',
  released: (why: string) => `released: ${why}`,
  cured: (stage: string) => `cured at ${stage}`,
};

export const pictureWords = {
  title: 'Photographs',
  one: (at: string) => `Photograph of ${at}`,
  elsewhere: 'The picture is not on this desk.',
  loading: 'Fetching the picture',
};

export const accountWords = {
  title: 'Everything recorded',
  records: (number: number) => count(number, 'record'),
  reading: 'Reading the records',
  unreadable: 'The records could not be read. Close this and open it again.',
  takenBack: 'taken back',
  notSent: 'not sent yet',
};

export const apartWords = {
  title: 'Put right twice, apart from each other',
  next: 'Both are kept. The later one holds: compare, and put right what is wrong.',
};

/** `Rack 4`, with when and by whom beside it. */
export function placeLine(place: Place, naming: Naming): { readonly says: string; readonly more: string } {
  const { book, now } = naming;
  const at = (instant: Instant) => when(instant, now, book.timeZone);
  switch (place.is) {
    case 'out':
      return { says: place.inParts ? 'Given back in parts' : 'Out of the works', more: at(place.since) };
    case 'at-work':
      return {
        says: place.spells
          .map((spell) => `At ${stageShown(book, spell.stage)}${onShoe(spell.shoe)}`)
          .join('; '),
        more: place.spells.map((spell) => workLine(spell, naming)).join('; '),
      };
    case 'set-aside': {
      const rack = place.rack === null ? '' : `, on ${rackShown(book, place.rack)}`;
      return {
        says: `Set aside at ${stageShown(book, place.stage)}${rack}`,
        more: `${handShown(book, place.by)}, ${at(place.since)}: ${place.reason}`,
      };
    }
    case 'on-rack':
      return { says: `On ${rackShown(book, place.rack)}`, more: metLine(place.met, naming) };
    case 'met': {
      const { met } = place;
      const stage = met.stage === null ? '' : `, ${stageShown(book, met.stage)}`;
      return { says: `Last seen at ${benchShown(met.bench, naming)}${stage}`, more: metLine(met, naming) };
    }
    case 'unknown':
      return { says: 'Nobody has had it in hand yet', more: '' };
  }
}

function workLine(spell: Spell, naming: Naming): string {
  const { book, now } = naming;
  const others = spell.joined.map(({ hand, as }) =>
    as === 'beside' ? ` with ${handShown(book, hand)}` : `, ${handShown(book, hand)} answers for it`,
  );
  return `${handShown(book, spell.by)}${others.join('')}, at ${benchShown(spell.bench, naming)} since ${when(spell.from, now, book.timeZone)} (${length(Math.max(0, now - spell.from))})`;
}

function metLine({ by, at, bench, kind }: Met, naming: Naming): string {
  const { book, now } = naming;
  const how = kind === 'racked' || kind === 'found-here' ? ` from ${benchShown(bench, naming)}` : '';
  return `${handShown(book, by)}${how}, ${when(at, now, book.timeZone)} (${length(Math.max(0, now - at))} ago)`;
}

/** One shoe of a parted pair. */
export function shoePlaceLine({ since, bench, by, spell }: ShoePlace, naming: Naming): string {
  const { book, now } = naming;
  const at = when(since, now, book.timeZone);
  const place = benchShown(bench, naming);
  if (spell === null) return `waits at ${place} since ${at} (${handShown(book, by)})`;
  const stage = stageShown(book, spell.stage);
  return spell.outcome === 'open'
    ? `at ${stage}, ${place}, ${handShown(book, by)} since ${at}`
    : `last at ${stage}, ${place}, ${handShown(book, by)}, ${at}`;
}

export function benchShown(bench: BenchId, { book, desk }: Naming): string {
  if (bench === desk) return 'this desk';
  return book.benches.find((one) => one.bench === bench)?.name ?? 'a desk';
}

export function waitLine(waiting: Waiting, { book, now }: Naming): string {
  const zone = book.timeZone;
  const stage = (code: StageCode) => stageShown(book, code);
  switch (waiting.for) {
    case 'logging':
      return 'being logged: nobody knows whose it is';
    case 'owner': {
      const since = waiting.since === null ? '' : ` since ${when(waiting.since, now, zone)}`;
      return `the owner’s answer${since}${waiting.why === null ? '' : `: ${waiting.why}`}`;
    }
    case 'parts':
      return 'being returned in parts: the owner said stop';
    case 'stop-note':
      return `the stop note to be cured or released: ${waiting.note.note.text}`;
    case 'taking-up':
      return `being taken up again: ${waiting.reason}`;
    case 'rework':
      return `${stage(waiting.back.to)} again${onShoe(waiting.back.shoe)}: ${waiting.back.reason}`;
    case 'last':
      return `last ${waiting.last}: it is in ${pairShown(waiting.heldBy)}`;
    case 'settling':
      return `${stage(waiting.stage)} to settle until ${when(waiting.until, now, zone)}, before ${stage(waiting.before)}`;
    case 'machine':
      return `the machine of ${stage(waiting.stage)}, out of use: ${waiting.why}`;
    case 'twin':
      return `the other shoe: ${stage(waiting.stage)} wants both`;
    case 'turn':
      return `${stage(waiting.stage)}${waiting.others === 0 ? '' : `, with ${count(waiting.others, 'other pair')} waiting there`}`;
  }
}

export function promiseLine({ day, daysTo, stands, notBefore }: PromiseNow, { book, now }: Naming): string {
  const days = count(Math.abs(daysTo), 'day');
  const left = daysTo === 0 ? 'today' : daysTo > 0 ? `${days} to go` : `${days} late`;
  const shown = calendarDay(day);
  switch (stands) {
    case 'kept':
      return `${shown}, kept`;
    case 'missed':
      return `${shown}, went out ${days} late`;
    case 'late':
      return `${shown}, ${left}`;
    case 'cannot':
      return `${shown}, ${left}, but drying alone takes until ${when(notBefore ?? now, now, book.timeZone)}`;
    case 'hangs':
      return `${shown}, ${left}, if the owner answers in time`;
    case 'stands':
      return `${shown}, ${left}`;
  }
}

export function noteLine({ note, seen, cured, released }: NoteState, { book }: Naming): string {
  const hands = [...new Set(seen.map(({ by }) => handShown(book, by)))];
  return [
    cured === null ? null : noteWordsAt.cured(stageShown(book, cured.stage)),
    released === null ? null : noteWordsAt.released(released.why),
    hands.length > 0 ? noteWordsAt.seenBy(hands) : note.weight === 'mind' ? null : noteWordsAt.unseen,
  ]
    .filter((part) => part !== null)
    .join('; ');
}

export const noteHeading = ({ note }: NoteState): string => `${weightNames[note.weight]}${onShoe(note.shoe)}`;

const comparison = ({ position, read, perhaps }: Comparison): string => {
  if (read === '') return `character ${position}: is ${perhaps} missing?`;
  if (perhaps === '') return `character ${position}: is ${read} too much?`;
  return `character ${position}: is it ${read} or ${perhaps}?`;
};

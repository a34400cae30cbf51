/**
 * Beginning work on a pair at a stage: whatever stands in the way is asked one thing at a time, in a fixed order, and
 * what has been answered is not asked again. When nothing is left, the pair is clocked in.
 */

import { hasSeen, notesFor, stops } from './fold/notes.ts';
import type { Details, NoteState, PairState, Spell } from './fold/pair-state.ts';
import { isDone, openSpells, shareAShoe } from './fold/spells.ts';
import { wordsHeld } from './fold/words.ts';
import type { BenchId, OperativeId, PairId, StageCode } from './ids.ts';
import type { Hurdle, OneShoe, Shoe } from './record/kinds.ts';
import { isReleased, type SiteBook } from './site-book.ts';
import {
  besideEachOther,
  isOnRoute,
  lastDone,
  lastOf,
  missingFor,
  standsOnYes,
  type Way,
  wantsBoth,
  wayOf,
} from './way.ts';

/** Why a pair cannot simply be clocked in; each comes with its question on the screen. */
export type Question =
  | { readonly ask: 'open-by-another'; readonly spell: Spell; readonly stage: StageCode }
  | { readonly ask: 'closed'; readonly stage: StageCode }
  | { readonly ask: 'returned-in-parts'; readonly stage: StageCode; readonly words: string | null }
  | { readonly ask: 'set-aside'; readonly stage: StageCode; readonly reason: string }
  | { readonly ask: 'parted'; readonly stage: StageCode; readonly shoe: OneShoe }
  | { readonly ask: 'which-shoe'; readonly stage: StageCode; readonly shoe: OneShoe }
  | { readonly ask: 'open-elsewhere'; readonly stage: StageCode; readonly spell: Spell }
  | { readonly ask: 'done-already'; readonly stage: StageCode; readonly spell: Spell | null }
  | { readonly ask: 'not-on-route'; readonly stage: StageCode; readonly job: Details['job'] }
  | { readonly ask: 'owners-yes'; readonly stage: StageCode; readonly why: string | null }
  | { readonly ask: 'not-due'; readonly stage: StageCode; readonly missing: readonly StageCode[] }
  | { readonly ask: 'not-released'; readonly stage: StageCode }
  | { readonly ask: 'out-of-use'; readonly stage: StageCode; readonly why: string }
  | { readonly ask: 'last-held'; readonly stage: StageCode; readonly last: string; readonly by: PairId };

export type Ask = Question['ask'];

/** What the bench knows besides the pair's own records. */
export interface Place {
  readonly bench: BenchId;
  /** Null until the site's book has come. */
  readonly book: SiteBook | null;
  /** Why the stage's machine may not be run here, or null. */
  readonly outOfUse: (stage: StageCode) => string | null;
  /** Another pair that has this pair of lasts in it. */
  readonly lastHeldBy: (last: string) => PairId | null;
  /** The hand has not had the stage's reminders shown today, or they were reworded since. */
  readonly remindersDue: (stage: StageCode) => boolean;
}

export interface Begin {
  readonly id: PairId;
  /** Null where this tablet has no record of the ticket. */
  readonly pair: PairState | null;
  readonly stage: StageCode;
  readonly shoe: Shoe;
  readonly on: OperativeId;
  /** What whoever is on has answered so far. */
  readonly settled: ReadonlySet<Ask>;
  /** The skilled hand who answers for work that whoever is on is not released for. */
  readonly answers?: OperativeId;
}

export type BeginIntent =
  | { readonly do: 'ask'; readonly begin: Begin; readonly question: Question }
  | { readonly do: 'stopped'; readonly begin: Begin; readonly by: readonly NoteState[] }
  | { readonly do: 'show-reminders'; readonly begin: Begin }
  | { readonly do: 'see-notes'; readonly begin: Begin; readonly unseen: readonly NoteState[] }
  | { readonly do: 'clock-in'; readonly begin: Begin; readonly unknownPair: boolean };

/** What comes next before the pair is clocked in. */
export function beginIntent(begin: Begin, place: Place): BeginIntent {
  const question = firstQuestion(begin, place);
  if (question !== null) return { do: 'ask', begin, question };
  const { pair, stage, on } = begin;
  const notes = pair === null ? [] : notesFor(pair, stage);
  const by = pair === null ? [] : pair.notes.filter(stops);
  if (by.length > 0) return { do: 'stopped', begin, by };
  if (place.remindersDue(stage)) return { do: 'show-reminders', begin };
  const unseen = notes.filter((note) => !hasSeen(note, on, stage));
  if (unseen.length > 0) return { do: 'see-notes', begin, unseen };
  return { do: 'clock-in', begin, unknownPair: pair === null || pair.logged === null };
}

/** The order of the questions: first what makes the others idle, last what is nearest to the hands. */
function firstQuestion(begin: Begin, place: Place): Question | null {
  const { pair, stage, shoe, on, settled } = begin;
  const { book } = place;
  const way = pair === null || book === null ? null : wayOf(pair, book, shoe);
  const questions = pair === null ? [] : pairQuestions(pair, way, begin, place);
  const why = place.outOfUse(stage);
  const last = pair?.details == null ? null : lastOf(pair.details);
  const by = last !== null && stage === book?.ways.lastFrom ? place.lastHeldBy(last) : null;
  return (
    [
      ...questions,
      ...(book === null || isReleased(book, on, stage) ? [] : [{ ask: 'not-released' as const, stage }]),
      ...(why === null ? [] : [{ ask: 'out-of-use' as const, stage, why }]),
      ...(last === null || by === null || by === begin.id
        ? []
        : [{ ask: 'last-held' as const, stage, last, by }]),
    ].find(({ ask }) => !settled.has(ask) && !isLetThrough(begin, place.bench, ask)) ?? null
  );
}

function pairQuestions(
  pair: PairState,
  way: Way | null,
  { stage, shoe }: Begin,
  { bench, book }: Place,
): readonly Question[] {
  const questions: Question[] = [];
  const { closedAt, owner, setAside, parted, details } = pair;
  if (closedAt !== null) questions.push({ ask: 'closed', stage });
  if (owner.is === 'stopped') questions.push({ ask: 'returned-in-parts', stage, words: owner.why });
  if (setAside !== null) questions.push({ ask: 'set-aside', stage, reason: setAside.reason });
  if (parted !== null) {
    if (book !== null && wantsBoth(book, stage)) questions.push({ ask: 'parted', stage, shoe: parted.shoe });
    if (shoe === 'both') questions.push({ ask: 'which-shoe', stage, shoe: parted.shoe });
  }
  // A heel built while the soles are laid is as it should be; the same front at two benches is not.
  const elsewhere = openSpells(pair).findLast(
    (spell) =>
      spell.bench !== bench &&
      shareAShoe(spell.shoe, shoe) &&
      (way === null || !besideEachOther(way, spell.stage, stage)),
  );
  if (elsewhere !== undefined) questions.push({ ask: 'open-elsewhere', stage, spell: elsewhere });
  if (isDone(pair, stage, shoe))
    questions.push({ ask: 'done-already', stage, spell: lastDone(pair, stage, shoe) });
  if (way === null || details === null) return questions;
  if (!isOnRoute(way, stage)) questions.push({ ask: 'not-on-route', stage, job: details.job });
  if (owner.is === 'asked' && standsOnYes(way, stage))
    questions.push({ ask: 'owners-yes', stage, why: owner.why });
  // What the owner has been asked or has said comes with a question of its own.
  const told = owner.is === 'asked' || owner.is === 'stopped';
  const missing = missingFor(way, stage).filter((code) => !told || code !== way.ways.owner);
  if (missing.length > 0) questions.push({ ask: 'not-due', stage, missing });
  return questions;
}

/** Whether a named person has let this pair past here: about a machine or a hand, the word is good at one bench and for one hand only. */
function isLetThrough({ pair, stage, on }: Begin, bench: BenchId, ask: Ask): boolean {
  const here = ask === 'out-of-use' || ask === 'not-released';
  return (pair === null ? [] : wordsHeld(pair)).some(
    (word) =>
      word.stage === stage &&
      word.past === ask &&
      (!here || (word.bench === bench && (word.hand === null || word.hand === on))),
  );
}

/** The questions that a supervisor's badge can let a pair past. */
export function hurdleOf(question: Question): Hurdle | null {
  switch (question.ask) {
    case 'not-due':
    case 'owners-yes':
    case 'not-released':
    case 'out-of-use':
    case 'parted':
    case 'not-on-route':
      return question.ask;
    default:
      return null;
  }
}

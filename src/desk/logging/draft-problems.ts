/** What keeps a draft from being logged in, field by field; checked here so that no record is ever refused later. */
import { classify } from '../../domain/code.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { PairId } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { problems as words } from '../../words/logging.ts';
import { conditionsOf, noteText } from './decisions.ts';
import { asLine, type LoggingDraft } from './logging-draft.ts';
import { isDay } from './promise.ts';

/** The most that the record's fields take; `src/domain/record/office-kinds.ts` says the same. */
export const LENGTHS = {
  ownerRef: 60,
  style: 60,
  last: 20,
  size: 12,
  fitting: 12,
  maker: 60,
  asked: 200,
} as const;
export type LineField = keyof typeof LENGTHS;
export const THING_LENGTH = 40;
export const THINGS_MAX = 12;
export const NOTE_LENGTH = 200;

export type Field = LineField | 'ticket' | 'withPair' | 'condition' | 'notes' | 'job' | 'promised';
export type Problems = Partial<Record<Field, string>>;

export interface Surroundings {
  readonly book: SiteBook;
  readonly pairs: ReadonlyMap<PairId, PairState>;
  /** On the site's calendar. */
  readonly today: string;
  /** The day that is promised where nobody chose one. */
  readonly usualDay: string | null;
}

const WANTED: readonly LineField[] = ['ownerRef', 'style', 'last', 'size', 'fitting'];

/** Empty where the draft can be logged in. */
export function problemsOf(draft: LoggingDraft, around: Surroundings): Problems {
  const found: Problems = {};
  const lines = Object.keys(LENGTHS) as LineField[];
  for (const field of lines) {
    const line = asLine(draft[field]);
    if (line === '' && WANTED.includes(field)) found[field] = words.missing;
    if (line.length > LENGTHS[field]) found[field] = words.tooLong(LENGTHS[field]);
  }
  const rest: readonly (readonly [Field, string | null])[] = [
    ['ticket', ticketProblem(draft, around)],
    ['withPair', thingsProblem(draft)],
    ['condition', conditionProblem(draft)],
    ['notes', notesProblem(draft)],
    ['job', draft.job === null ? words.noJob : null],
    ['promised', promisedProblem(draft, around)],
  ];
  for (const [field, problem] of rest) if (problem !== null) found[field] = problem;
  return found;
}

/** The ticket that was typed, or null where none was or it is none. */
export function typedTicket({ ticket }: Pick<LoggingDraft, 'ticket'>, book: SiteBook): PairId | null {
  if (ticket.trim() === '') return null;
  const code = classify(ticket, 'typed', book.ticketPattern);
  return code.kind === 'ticket' && code.shoe === null ? code.pair : null;
}

function ticketProblem(draft: LoggingDraft, { book, pairs }: Surroundings): string | null {
  if (draft.ticket.trim() === '') return null;
  const code = classify(draft.ticket, 'typed', book.ticketPattern);
  if (code.kind !== 'ticket') return words.ticketNone;
  if (code.shoe !== null) return words.ticketTag;
  return (pairs.get(code.pair)?.logged ?? null) === null ? null : words.ticketLogged;
}

function thingsProblem({ withPair }: LoggingDraft): string | null {
  const things = withPair.map(asLine).filter((thing) => thing !== '');
  if (things.length > THINGS_MAX) return words.thingsTooMany(THINGS_MAX);
  return things.some(({ length }) => length > THING_LENGTH) ? words.tooLong(THING_LENGTH) : null;
}

function conditionProblem({ condition }: LoggingDraft): string | null {
  const said = [condition.left, condition.right].flatMap(({ sole, welt, heel }) => [sole, welt, heel]);
  const half = conditionsOf(condition) === null && said.some((part) => part !== null);
  return half ? words.conditionHalf : null;
}

function notesProblem({ notes }: LoggingDraft): string | null {
  for (const [index, note] of notes.entries()) {
    const text = noteText(note, asLine(note.text));
    if (text === '') return words.noteNoWords(index + 1);
    if (text.length > NOTE_LENGTH) return words.tooLong(NOTE_LENGTH);
  }
  return null;
}

function promisedProblem(draft: LoggingDraft, { today, usualDay }: Surroundings): string | null {
  const day = draft.promised ?? usualDay;
  // Without a job no day is proposed yet, and the job is what is asked for.
  if (day === null) return draft.job === null ? null : words.missing;
  if (!isDay(day)) return words.noDay;
  return day < today && draft.pastMeant !== day ? words.past(day) : null;
}

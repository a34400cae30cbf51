/**
 * What to say to an owner, in plain words. It is made from the book's plain names and from fixed words alone: nothing
 * that anybody typed about the pair goes into it, so it can name no hand and blame nobody.
 */
import type { StageCode } from '../domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../domain/instant.ts';
import type { SiteBook } from '../domain/site-book.ts';
import type { Waiting, Whereabouts } from '../domain/whereabouts.ts';
import { dayIn, type PromiseNow } from '../domain/whereabouts-promise.ts';
import { clockTime } from './format.ts';

/** A desk that talks with its server asks more often than this. */
const FRESH_MS = 10 * MINUTE_MS;

export interface Telling {
  readonly book: SiteBook;
  readonly now: Instant;
  /** When the server was last reached; null for never. */
  readonly upTo: Instant | null;
  /** The day on which it should be ready, where the forecast says that the promise will hardly be kept; null where it says nothing of the kind. */
  readonly instead?: string | null;
}

/** The whole answer, sentence by sentence: where, what was done last, the promise, and how old the answer is. */
export function ownerSentences(
  where: Whereabouts,
  { book, now, upTo, instead = null }: Telling,
): readonly string[] {
  const zone = book.timeZone;
  return [
    ...opening(where, book, now),
    ...lastWork(where, book, now),
    ...promiseSentences(where, instead, now, zone),
    ...ageSentence(upTo, now, zone),
  ];
}

function opening(where: Whereabouts, book: SiteBook, now: Instant): readonly string[] {
  const { place, waits } = where;
  const zone = book.timeZone;
  if (place.is === 'out') {
    const day = spokenDay(place.since, now, zone);
    return [
      place.inParts
        ? `Your shoes were returned in parts ${day}, as you asked.`
        : `Your shoes are finished and went out ${day}.`,
    ];
  }
  if (!where.logged)
    return ['Your shoes are with us, but their papers are not complete yet. We will look and call you back.'];
  if (waits[0]?.for === 'parts') return ['Your shoes are being returned in parts, as you asked.'];
  if (waits.some((one) => one.for === 'owner'))
    return ['Your shoes are waiting for your answer: we go on as soon as we have it.'];
  const work = place.is === 'at-work' ? place.spells.at(-1) : undefined;
  if (work !== undefined) return [present(plainOf(book, work.stage))];
  return waiting(where, book, now);
}

/** How the weightiest thing that a pair waits for is put to its owner. */
function waiting({ waits, finished, left }: Whereabouts, book: SiteBook, now: Instant): readonly string[] {
  const first = waits.find((one) => one.for !== 'turn') ?? waits[0];
  const next = nextStage(waits) ?? left?.[0]?.stage ?? null;
  switch (first?.for) {
    case 'stop-note':
      return ['Something about your shoes is being looked at before we go on.'];
    case 'taking-up':
      return ['Your shoes have been put by for the moment and will be taken up again.'];
    case 'rework':
      return ['Your shoes are having a second look: one step is being done again.'];
    case 'last':
      return ['Your shoes are waiting for their last, the form they are made on. Other shoes are on it.'];
    case 'machine':
      return ['Your shoes are waiting for a machine that is being seen to.'];
    case 'twin':
      return ['One of your shoes needs a little more work, and the other waits for it.'];
    case 'settling':
      return [`Your shoes are drying and settling ${untilSpoken(first.until, now, book.timeZone)}.`];
    default:
      if (finished) return ['Your shoes are finished and ready to go out.'];
      return ['Your shoes are in the workshop.', ...(next === null ? [] : [future(plainOf(book, next))])];
  }
}

function nextStage(waits: readonly Waiting[]): StageCode | null {
  return waits.find((one) => one.for === 'turn')?.stage ?? null;
}

function lastWork(where: Whereabouts, book: SiteBook, now: Instant): readonly string[] {
  const last = where.place.is === 'out' || !where.logged ? null : lastDone(where, book);
  if (last === null) return [];
  return [`${capital(spokenDay(last.at, now, book.timeZone))} ${past(plainOf(book, last.stage))}.`];
}

/** What went back is being done again, and is no news; nor is the yes that the owner gave. */
function lastDone(
  { done, doneAtDesk }: Whereabouts,
  book: SiteBook,
): { readonly stage: StageCode; readonly at: Instant } | null {
  const isNews = ({ stage }: { readonly stage: StageCode }) => stage !== book.ways.owner;
  const spell = done.findLast((one) => one.spell.timed && !one.again && isNews(one.spell))?.spell;
  if (spell !== undefined && spell.to !== null) return { stage: spell.stage, at: spell.to };
  return doneAtDesk.findLast(isNews) ?? null;
}

function promiseSentences(
  { promise, place, waits }: Whereabouts,
  instead: string | null,
  now: Instant,
  zone: string,
): readonly string[] {
  if (promise === null || place.is === 'out' || waits[0]?.for === 'parts') return [];
  const today = dayIn(now, zone);
  const day = spokenCalendarDay(promise.day, today);
  if (instead === null || promise.stands === 'hangs') return promiseLines(promise, day);
  const were = promise.stands === 'late' ? 'were' : 'are';
  return [
    `They ${were} promised for ${day}. As things stand it looks like ${spokenCalendarDay(instead, today)}.`,
  ];
}

function promiseLines({ stands }: PromiseNow, day: string): readonly string[] {
  switch (stands) {
    case 'late':
      return [`They were promised for ${day}. That day has passed, and we will tell you the new one.`];
    case 'cannot':
      return [`They were promised for ${day}, but need longer to dry. We will tell you the new day.`];
    case 'hangs':
      return [`They are promised for ${day} if we hear from you in good time.`];
    case 'stands':
      return [`They are promised for ${day}.`];
    case 'kept':
    case 'missed':
      return [];
  }
}

function ageSentence(upTo: Instant | null, now: Instant, zone: string): readonly string[] {
  if (upTo === null) return ['We have not yet heard from the benches, so this may be old.'];
  if (now - upTo < FRESH_MS) return [];
  return [`This is what we knew ${spokenDay(upTo, now, zone)} at ${clockTime(upTo, zone)}.`];
}

// ── The book's plain names, which go on from «Your shoes are», in other tenses ──

/** The book says «having its soles laid», of a pair; an owner is told of two shoes. */
function plainOf(book: SiteBook, stage: StageCode): string {
  const plain = book.stages.find(({ code }) => code === stage)?.plain ?? 'being worked on';
  return plain.replace(/\bits\b/g, 'their');
}

const present = (plain: string): string => `Your shoes are ${plain}.`;

/** `they were stitched`, `they had their soles laid`, `they came off the last` */
function past(plain: string): string {
  const [, verb, rest] = /^(being|having|coming) (.+)$/.exec(plain) ?? [];
  if (verb === 'being') return `they were ${rest}`;
  if (verb === 'having') return `they had ${rest}`;
  return verb === 'coming' ? `they came ${rest}` : `they were ${plain}`;
}

/** `Next they will be stitched.` */
function future(plain: string): string {
  const [, verb, rest] = /^(being|having|coming) (.+)$/.exec(plain) ?? [];
  if (verb === 'having') return `Next they will have ${rest}.`;
  if (verb === 'coming') return `Next they will come ${rest}.`;
  return `Next they will be ${verb === 'being' ? rest : plain}.`;
}

// ── Days as one says them ──

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** `today`, `yesterday`, `on Tuesday`, `on 12 November`; with the year where it is another. */
function spokenDay(at: Instant, now: Instant, zone: string): string {
  const day = dayIn(at, zone);
  if (day === dayIn(now, zone)) return 'today';
  if (day === dayIn(now - DAY_MS, zone)) return 'yesterday';
  if (at < now && now - at < 6 * DAY_MS) return `on ${spoken(day, { weekday: 'long' })}`;
  return `on ${spokenCalendarDay(day, dayIn(now, zone))}`;
}

function spokenCalendarDay(day: string, today: string): string {
  const year = day.slice(0, 4) === today.slice(0, 4) ? {} : { year: 'numeric' as const };
  return spoken(day, { day: 'numeric', month: 'long', ...year });
}

function untilSpoken(until: Instant, now: Instant, zone: string): string {
  if (until - now < HOUR_MS) return 'for a little while';
  const day = dayIn(until, zone);
  if (day === dayIn(now, zone)) return 'for some hours';
  if (day === dayIn(now + DAY_MS, zone)) return 'until tomorrow';
  return `until ${spoken(day, { weekday: 'long' })}`;
}

function spoken(day: string, options: Intl.DateTimeFormatOptions): string {
  return new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', ...options }).format(
    Date.parse(`${day}T12:00Z`),
  );
}

/**
 * What a scan means here: a pure decision over the code, the bench, who is on it, and the pair's state. Every
 * combination has exactly one answer, and every answer either makes a record or says what to do.
 */
import { type BeginIntent, beginIntent, hurdleOf, type Place, type Question } from './begin.ts';
import type { Code } from './code.ts';
import { hasSeen, notesFor, stops } from './fold/notes.ts';
import type { NoteState, PairState, Spell } from './fold/pair-state.ts';
import { isDone, openSpells, shareAShoe } from './fold/spells.ts';
import type { OperativeId, PairId, StageCode } from './ids.ts';
import type { Instant } from './instant.ts';
import type { Shoe } from './record/kinds.ts';
import { redoFrom } from './route.ts';
import { isReleased, roleOf } from './site-book.ts';
import { isOnRoute, missingFor, wayOf } from './way.ts';

/** What the card on the screen is waiting for, so that a badge or a tag can be the answer to it. */
export type Awaiting =
  | { readonly is: 'nothing' }
  /** A question that a badge may answer. */
  | { readonly is: 'question'; readonly question: Question }
  /** A stop note that a named person may release. */
  | { readonly is: 'release' }
  /** The badge of a second hand. */
  | { readonly is: 'second-hand' }
  /** The tag of the second shoe, or that of another pair. */
  | { readonly is: 'tag'; readonly pair: PairId };

export interface BenchNow extends Place {
  /** In the order of the route; empty until the bench is set up. */
  readonly stages: readonly StageCode[];
  readonly on: OperativeId | null;
  /** The pair whose card is on the screen. */
  readonly card: PairId | null;
  readonly awaiting: Awaiting;
  /** Scans only say «found here». */
  readonly finding: boolean;
  /** When the shift began: a spell from before it was left without a scan. Absent between shifts. */
  readonly shiftFrom?: Instant;
}

export type Intent =
  | { readonly do: 'enrol'; readonly token: string }
  | { readonly do: 'badge-on'; readonly operative: OperativeId }
  | { readonly do: 'badge-off'; readonly operative: OperativeId }
  | { readonly do: 'hand-over'; readonly from: OperativeId; readonly to: OperativeId }
  /** A supervisor's badge on a question: reasons are offered. */
  | { readonly do: 'let-through'; readonly by: OperativeId }
  /** A supervisor's badge on a stop note. */
  | { readonly do: 'release'; readonly by: OperativeId }
  /** A released hand's badge where whoever is on is not released: the skilled hand answers for the work. */
  | { readonly do: 'answer-for'; readonly hand: OperativeId }
  | { readonly do: 'join'; readonly hand: OperativeId }
  | { readonly do: 'clock-out'; readonly pair: PairId; readonly spell: Spell }
  /** Clocked in before this shift: when it ended is asked, never made up. */
  | { readonly do: 'end-unknown'; readonly pair: PairId; readonly spell: Spell }
  /** The stage ends with its own questions: nail points, the flat board, what stands open. */
  | { readonly do: 'final-check'; readonly pair: PairId; readonly spell: Spell }
  | { readonly do: 'boxing'; readonly pair: PairId; readonly spell: Spell }
  | { readonly do: 'tag-matches'; readonly pair: PairId }
  /** Notes came in since the work began. */
  | {
      readonly do: 'notes-came-in';
      readonly pair: PairId;
      readonly spell: Spell;
      readonly stopped: boolean;
      readonly unseen: readonly NoteState[];
    }
  | { readonly do: 'found-here'; readonly pair: PairId }
  | { readonly do: 'rack-pair'; readonly rack: string; readonly pair: PairId }
  | { readonly do: 'open-rack'; readonly rack: string }
  | { readonly do: 'refuse'; readonly why: Refusal }
  | BeginIntent;

export type EndIntent = Extract<
  Intent,
  { do: 'clock-out' | 'end-unknown' | 'final-check' | 'boxing' | 'notes-came-in' }
>;

export type Refusal =
  | { readonly is: 'not-set-up' }
  | { readonly is: 'badge-first'; readonly pair: PairId | null }
  | { readonly is: 'unknown-badge' }
  | { readonly is: 'own-badge' }
  | { readonly is: 'mixed-pair'; readonly card: PairId; readonly tag: PairId }
  | { readonly is: 'damaged'; readonly code: Extract<Code, { kind: 'damaged' }> }
  | { readonly is: 'foreign'; readonly code: Extract<Code, { kind: 'foreign' }> };

export interface Scanned {
  readonly code: Code;
  /** Whose badge it is, where the code is a badge that the site knows. */
  readonly holder: OperativeId | null;
  /** The pair's state, where the code is a ticket. */
  readonly pair: PairState | null;
}

/** Decides what a scan means. */
export function intentOf({ code, holder, pair }: Scanned, now: BenchNow): Intent {
  switch (code.kind) {
    case 'bench':
      return { do: 'enrol', token: code.token };
    case 'badge':
      return now.stages.length === 0 ? refuse({ is: 'not-set-up' }) : badgeIntent(holder, now);
    case 'ticket':
      if (now.stages.length === 0) return refuse({ is: 'not-set-up' });
      if (now.on === null) return refuse({ is: 'badge-first', pair: code.pair });
      return ticketIntent(code, pair, now.on, now);
    case 'rack':
      if (now.stages.length === 0) return refuse({ is: 'not-set-up' });
      if (now.on === null) return refuse({ is: 'badge-first', pair: null });
      return now.card === null
        ? { do: 'open-rack', rack: code.rack }
        : { do: 'rack-pair', rack: code.rack, pair: now.card };
    case 'damaged':
      return refuse({ is: 'damaged', code });
    case 'foreign':
      return refuse({ is: 'foreign', code });
  }
}

/** A badge answers what the card asks, where it can; otherwise it says who is on. */
function badgeIntent(holder: OperativeId | null, now: BenchNow): Intent {
  const { on, awaiting, book } = now;
  if (holder === null) return refuse({ is: 'unknown-badge' });
  if (on === null) return { do: 'badge-on', operative: holder };
  const supervises = book !== null && roleOf(book, holder) === 'supervisor';
  if (awaiting.is === 'second-hand') {
    return holder === on ? refuse({ is: 'own-badge' }) : { do: 'join', hand: holder };
  }
  if (awaiting.is === 'release' && supervises) return { do: 'release', by: holder };
  if (awaiting.is === 'question') {
    const { question } = awaiting;
    const unreleased = question.ask === 'not-released' && holder !== on && book !== null;
    if (unreleased && isReleased(book, holder, question.stage)) return { do: 'answer-for', hand: holder };
    const hurdle = supervises ? hurdleOf(question) : null;
    // Nobody lets herself onto a machine that she is not released for.
    if (hurdle === 'not-released' && holder === on) return refuse({ is: 'own-badge' });
    if (hurdle !== null) return { do: 'let-through', by: holder };
  }
  if (on === holder) return { do: 'badge-off', operative: holder };
  return { do: 'hand-over', from: on, to: holder };
}

function ticketIntent(
  code: Extract<Code, { kind: 'ticket' }>,
  pair: PairState | null,
  on: OperativeId,
  now: BenchNow,
): Intent {
  const id = code.pair;
  if (now.awaiting.is === 'tag' && code.shoe !== null) {
    const { pair: card } = now.awaiting;
    return id === card ? { do: 'tag-matches', pair: id } : refuse({ is: 'mixed-pair', card, tag: id });
  }
  if (now.finding) return { do: 'found-here', pair: id };

  const here = pair === null ? [] : openSpells(pair).filter(({ bench }) => bench === now.bench);
  // Together, either tag stands for the pair; parted, each for its own shoe.
  const tag = pair?.parted == null ? null : code.shoe;
  const worked = here.filter((spell) => tag === null || shareAShoe(spell.shoe, tag));
  const mine = worked.findLast((spell) => spell.by === on);
  if (pair !== null && mine !== undefined) return endIntent(pair, mine, on, now);

  const shoe: Shoe = tag ?? 'both';
  const stage = stageHere(pair, shoe, now);
  if (stage === undefined) return refuse({ is: 'not-set-up' });
  const begin = { id, pair, stage, shoe, on, settled: new Set<Question['ask']>() };
  const anothers = worked.at(-1);
  if (anothers !== undefined) {
    const question = { ask: 'open-by-another' as const, spell: anothers, stage: anothers.stage };
    return { do: 'ask', begin: { ...begin, stage: anothers.stage }, question };
  }
  return beginIntent(begin, now);
}

/** What stands before the end of a spell, whether by a second scan or by a touch. */
export function endIntent(
  pair: PairState,
  spell: Spell,
  on: OperativeId,
  { book, shiftFrom }: Pick<BenchNow, 'book' | 'shiftFrom'>,
): EndIntent {
  const id = pair.pair;
  const unseen = notesFor(pair, spell.stage).filter((note) => !hasSeen(note, on, spell.stage));
  const stopped = pair.notes.some(stops);
  if (unseen.length > 0 || stopped) return { do: 'notes-came-in', pair: id, spell, stopped, unseen };
  if (shiftFrom !== undefined && spell.from < shiftFrom) return { do: 'end-unknown', pair: id, spell };
  if (spell.stage === book?.ways.check) return { do: 'final-check', pair: id, spell };
  if (spell.stage === book?.ways.box) return { do: 'boxing', pair: id, spell };
  return { do: 'clock-out', pair: id, spell };
}

/**
 * The stage that a pair is most likely here for: one that can begin before one that something is missing for, one
 * that its job always takes before one done only if needed. Where this bench has nothing left to do on it, the last
 * that it has done. Undefined only where the bench does no stage at all.
 */
export function stageHere(
  pair: PairState | null,
  shoe: Shoe,
  { stages, book }: Pick<BenchNow, 'stages' | 'book'>,
): StageCode | undefined {
  if (pair === null) return stages[0];
  const way = book === null ? null : wayOf(pair, book, shoe);
  if (way === null) return stages.find((stage) => !isDone(pair, stage, shoe)) ?? stages.at(-1);
  const needed = (stage: StageCode) =>
    way.route.some((step) => step.stage === stage && step.need === 'always');
  // What is only done if needed is past once something that stands on it is done.
  const past = (stage: StageCode) =>
    !needed(stage) && [...redoFrom(way.route, stage)].some((later) => way.done.has(later));
  const open = stages.filter((stage) => !way.done.has(stage) && isOnRoute(way, stage) && !past(stage));
  const ready = (stage: StageCode) => missingFor(way, stage).length === 0;
  return (
    open.find((stage) => needed(stage) && ready(stage)) ??
    open.find(ready) ??
    open.find(needed) ??
    open[0] ??
    stages.findLast((stage) => way.done.has(stage)) ??
    stages[0]
  );
}

function refuse(why: Refusal): Intent {
  return { do: 'refuse', why };
}

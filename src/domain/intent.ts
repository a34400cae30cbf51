/**
 * What a scan means here: a pure decision over the code, the bench, who is on it, and the pair's state. Every
 * combination has exactly one answer, and every answer either makes a record or says what to do.
 */
import type { Code } from './code.ts';
import {
  hasSeen,
  isDone,
  type NoteState,
  notesFor,
  openSpells,
  type PairState,
  type Spell,
} from './fold/pair.ts';
import type { BenchId, OperativeId, PairId, StageCode } from './ids.ts';

export interface BenchNow {
  readonly bench: BenchId;
  /** In the order of the route; empty until the bench is set up. */
  readonly stages: readonly StageCode[];
  readonly on: OperativeId | null;
}

/** Why a ticket cannot simply be clocked in; each comes with its question on the screen. */
export type Question =
  | { readonly ask: 'open-by-another'; readonly spell: Spell }
  | { readonly ask: 'open-elsewhere'; readonly spell: Spell; readonly stage: StageCode }
  | { readonly ask: 'done-already'; readonly stage: StageCode; readonly spell: Spell | null }
  | { readonly ask: 'set-aside'; readonly reason: string; readonly stage: StageCode }
  | { readonly ask: 'closed'; readonly stage: StageCode };

export type Intent =
  | { readonly do: 'enrol'; readonly token: string }
  | { readonly do: 'badge-on'; readonly operative: OperativeId }
  | { readonly do: 'badge-off'; readonly operative: OperativeId }
  | { readonly do: 'hand-over'; readonly from: OperativeId; readonly to: OperativeId }
  | {
      readonly do: 'clock-in';
      readonly pair: PairId;
      readonly stage: StageCode;
      readonly unknownPair: boolean;
    }
  | { readonly do: 'clock-out'; readonly pair: PairId; readonly spell: Spell }
  | {
      readonly do: 'see-notes';
      readonly pair: PairId;
      readonly stage: StageCode;
      readonly unseen: readonly NoteState[];
    }
  | {
      readonly do: 'stopped';
      readonly pair: PairId;
      readonly stage: StageCode;
      readonly by: readonly NoteState[];
    }
  | { readonly do: 'ask'; readonly pair: PairId; readonly question: Question }
  | { readonly do: 'refuse'; readonly why: Refusal };

export type BeginIntent = Extract<Intent, { do: 'clock-in' | 'see-notes' | 'stopped' }>;

export type Refusal =
  | { readonly is: 'not-set-up' }
  | { readonly is: 'badge-first'; readonly pair: PairId }
  | { readonly is: 'unknown-badge' }
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
      return ticketIntent(code.pair, pair, now.on, now);
    case 'damaged':
      return refuse({ is: 'damaged', code });
    case 'foreign':
      return refuse({ is: 'foreign', code });
  }
}

function badgeIntent(holder: OperativeId | null, { on }: BenchNow): Intent {
  if (holder === null) return refuse({ is: 'unknown-badge' });
  if (on === null) return { do: 'badge-on', operative: holder };
  if (on === holder) return { do: 'badge-off', operative: holder };
  return { do: 'hand-over', from: on, to: holder };
}

function ticketIntent(id: PairId, pair: PairState | null, on: OperativeId, now: BenchNow): Intent {
  const open = pair === null ? [] : openSpells(pair);
  const here = open.filter(({ bench }) => bench === now.bench);
  const mine = here.findLast(({ by }) => by === on);
  if (mine !== undefined) return { do: 'clock-out', pair: id, spell: mine };
  const anothers = here.at(-1);
  if (anothers !== undefined) return ask(id, { ask: 'open-by-another', spell: anothers });

  const due = now.stages.find((stage) => pair === null || !isDone(pair, stage));
  const stage = due ?? now.stages.at(-1);
  if (stage === undefined) return refuse({ is: 'not-set-up' });
  if (pair === null) return { do: 'clock-in', pair: id, stage, unknownPair: true };
  if (pair.closedAt !== null) return ask(id, { ask: 'closed', stage });
  if (pair.setAside !== null) return ask(id, { ask: 'set-aside', reason: pair.setAside.reason, stage });
  const elsewhere = open.at(-1);
  if (elsewhere !== undefined) return ask(id, { ask: 'open-elsewhere', spell: elsewhere, stage });
  if (due === undefined) {
    const spell = pair.spells.findLast((done) => done.stage === stage && done.outcome === 'done') ?? null;
    return ask(id, { ask: 'done-already', stage, spell });
  }
  return beginIntent(id, pair, stage, on);
}

/**
 * Beginning work at `stage` once any question has been answered: a note of weight *stop* blocks, notes that this
 * hand has not seen at this stage come first, and otherwise the pair is clocked in.
 */
export function beginIntent(
  id: PairId,
  pair: PairState | null,
  stage: StageCode,
  on: OperativeId,
): BeginIntent {
  const notes = pair === null ? [] : notesFor(pair, stage);
  const stops = notes.filter(({ note }) => note.weight === 'stop');
  if (stops.length > 0) return { do: 'stopped', pair: id, stage, by: stops };
  const unseen = notes.filter((note) => !hasSeen(note, on, stage));
  if (unseen.length > 0) return { do: 'see-notes', pair: id, stage, unseen };
  return { do: 'clock-in', pair: id, stage, unknownPair: pair === null || pair.logged === null };
}

function ask(pair: PairId, question: Question): Intent {
  return { do: 'ask', pair, question };
}

function refuse(why: Refusal): Intent {
  return { do: 'refuse', why };
}

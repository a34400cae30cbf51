/**
 * The shift as it stands, from the folded pairs of a site. Pure: `desk-follower.ts` decides which pairs it needs to
 * hand over, and the whole ledger gives the same answer.
 */
import { flagsAt } from '../domain/flags.ts';
import type { Flag, PairState, Spell } from '../domain/fold/pair-state.ts';
import { openSpells } from '../domain/fold/spells.ts';
import type { PairId, StageCode } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import { nameOf, type Shift, type SiteBook } from '../domain/site-book.ts';
import type { DeskNow } from '../wire/desk.ts';

const EXAMPLES_MAX = 5;

/** In the works: something stands of it, and it has not left. A pair all of whose records were taken back never was. */
export function isInWork({ closedAt, logged, spells, notes, setAside, sentBack }: PairState): boolean {
  if (closedAt !== null) return false;
  return logged !== null || setAside !== null || spells.length > 0 || notes.length > 0 || sentBack.length > 0;
}

/** In the works, or clocked in somewhere though it has left. */
export function isHere(state: PairState): boolean {
  return isInWork(state) || openSpells(state).length > 0;
}

/** Whether the view since `since` shows anything of this pair. What has no part in it can be left out. */
export function mattersSince(state: PairState, since: Instant): boolean {
  if (isHere(state)) return true;
  const { latest, spells } = state;
  return (
    (latest !== null && latest.at >= since) ||
    spells.some(({ from, to }) => from >= since || (to !== null && to >= since))
  );
}

export interface DeskInput {
  readonly pairs: Iterable<PairState>;
  readonly book: SiteBook;
  readonly shift: Shift | null;
  /** From when on closed pairs still matter: the shift's beginning, or this moment between shifts. */
  readonly since: Instant;
}

export function deskView({ pairs, book, shift, since }: DeskInput): Omit<DeskNow, 'state'> {
  const shown = [...pairs]
    .filter((state) => mattersSince(state, since))
    .sort((a, b) => compareText(a.pair, b.pair));
  const open = shown
    .flatMap((state) => openSpells(state).map((spell) => ({ pair: state.pair, spell })))
    .sort((a, b) => a.spell.from - b.spell.from || compareText(a.spell.id, b.spell.id));
  return {
    shift: shift === null ? null : { name: shift.name, from: shift.from, to: shift.to },
    stages: stageLines(shown, book, shift),
    open: open.map(({ pair, spell }) => openLine(pair, spell, book)),
    pairsOpen: shown.filter(isInWork).length,
    flags: flagLines(shown, book),
  };
}

/** The site's stages in the order of its route, and after them any other that work was booked on. */
function stageLines(pairs: readonly PairState[], book: SiteBook, shift: Shift | null): DeskNow['stages'] {
  const lines = new Map<StageCode, DeskNow['stages'][number]>(
    book.stages.map(({ code, name }) => [code, emptyLine(code, name)]),
  );
  const within = (at: Instant | null) => shift !== null && at !== null && shift.from <= at && at < shift.to;
  for (const { spells: all } of pairs) {
    // Done and not scanned: told now, and done at some other time.
    const spells = all.filter(({ id, endedBy, timed }) => timed || endedBy !== id);
    // A pair counts once at a stage, however often it was clocked in there.
    const into = new Set(spells.filter(({ from }) => within(from)).map(({ stage }) => stage));
    const outOf = new Set(
      spells.filter(({ outcome, to }) => outcome === 'done' && within(to)).map(({ stage }) => stage),
    );
    for (const { stage, outcome } of spells) {
      const line = lines.get(stage) ?? emptyLine(stage, stage);
      lines.set(stage, line);
      if (outcome === 'open') line.openNow += 1;
      if (into.delete(stage)) line.pairsIn += 1;
      if (outOf.delete(stage)) line.pairsOut += 1;
    }
  }
  const own = new Set(book.stages.map(({ code }) => code));
  const [ofRoute, others] = [
    [...lines.values()].filter(({ stage }) => own.has(stage)),
    [...lines.values()].filter(({ stage }) => !own.has(stage)),
  ];
  return [...ofRoute, ...others.sort((a, b) => compareText(a.stage, b.stage))];
}

function emptyLine(stage: StageCode, name: string): DeskNow['stages'][number] {
  return { stage, name, pairsIn: 0, pairsOut: 0, openNow: 0 };
}

function openLine(pair: PairId, spell: Spell, book: SiteBook): DeskNow['open'][number] {
  const { id, stage, bench, by, from } = spell;
  const benchName = book.benches.find((one) => one.bench === bench)?.name ?? bench;
  return { spell: id, pair, stage, bench, benchName, by, byName: nameOf(book, by), since: from };
}

function flagLines(pairs: readonly PairState[], book: SiteBook): DeskNow['flags'] {
  const pairsOf = new Map<Flag['flag'], PairId[]>();
  for (const state of pairs) {
    for (const flag of new Set(flagsAt(state, book).map((one) => one.flag))) {
      pairsOf.set(flag, [...(pairsOf.get(flag) ?? []), state.pair]);
    }
  }
  return [...pairsOf]
    .map(([flag, all]) => ({ flag, pairs: all.length, examples: all.slice(0, EXAMPLES_MAX) }))
    .sort((a, b) => b.pairs - a.pairs || compareText(a.flag, b.flag));
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

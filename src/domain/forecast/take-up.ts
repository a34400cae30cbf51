/**
 * What a stage costs a hand besides touch time: putting the pair before away, walking, setting the machine, scanning.
 * Seen where a hand goes from one pair to the next within a shift while that one stood ready all along.
 */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { PairFacts, SpellFacts } from '../figures/facts.ts';
import { grouped } from '../figures/grouped.ts';
import { median } from '../figures/percentile.ts';
import type { StageCode } from '../ids.ts';
import { type Instant, MINUTE_MS } from '../instant.ts';
import type { SiteBook } from '../site-book.ts';
import { keyOfHand } from './hands.ts';
import { spanAt } from './spans-at.ts';
import { isMeasured } from './visits.ts';

/** Longer than this the hand was somewhere else. */
const GAP_MOST_MS = 30 * MINUTE_MS;
const SAMPLES_LEAST = 8;
/** Where nothing is known; an assumption, no source. */
const ASSUMED_MS = 2 * MINUTE_MS;

/** The usual milliseconds before a spell at each stage; `site` for a stage that is not known well enough. */
export function takeUps(
  facts: readonly PairFacts[],
  past: readonly ShiftSpan[],
  since: Instant,
  book: SiteBook,
): { readonly site: number; readonly stages: ReadonlyMap<StageCode, number> } {
  const most = new Map(book.stages.map(({ code, settles }) => [code, (settles?.most ?? 0) * MINUTE_MS]));
  const spells = facts
    .flatMap((pair) => pair.spells.map((spell) => ({ spell, readyAt: readyBefore(pair, spell, most) })))
    .filter(({ spell }) => spell.from >= since && isMeasured(spell, past));
  const gaps: { readonly stage: StageCode; readonly ms: number }[] = [];
  for (const worked of grouped(spells, ({ spell }) => keyOfHand(spell)).values()) {
    const own = worked.toSorted((a, b) => a.spell.from - b.spell.from);
    for (const [index, { spell, readyAt }] of own.entries()) {
      const before = own[index - 1]?.spell;
      if (before?.to == null || readyAt > before.to) continue;
      const ms = spell.from - before.to;
      if (ms <= GAP_MOST_MS && spanAt(past, before.to) === spanAt(past, spell.from))
        gaps.push({ stage: spell.stage, ms: Math.max(0, ms) });
    }
  }
  const usual = (some: readonly (typeof gaps)[number][]) => median(some.map(({ ms }) => ms)) ?? ASSUMED_MS;
  const site = gaps.length < SAMPLES_LEAST ? ASSUMED_MS : usual(gaps);
  const known = [...grouped(gaps, ({ stage }) => stage)].filter(([, own]) => own.length >= SAMPLES_LEAST);
  return { site, stages: new Map(known.map(([stage, own]) => [stage, usual(own)])) };
}

/** By when the pair certainly stood ready before the spell: nothing was done on it and nothing held it after that. */
function readyBefore(
  { spells, holds, logged }: PairFacts,
  spell: SpellFacts,
  most: ReadonlyMap<StageCode, number>,
) {
  const ends = spells
    .filter(({ from, id }) => from < spell.from && id !== spell.id)
    .map(({ to, stage }) => (to ?? spell.from) + (most.get(stage) ?? 0));
  const held = holds
    .filter(({ from }) => from < spell.from)
    .map(({ to }) => Math.min(spell.from, to ?? spell.from));
  return Math.max(logged?.at ?? spell.from, ...ends, ...held);
}

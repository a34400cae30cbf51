/**
 * Who works where and when, from the spells alone: each hand is a server of its own, shared among the stages that it
 * does, so nobody's time is counted twice. The names go no further than this: a forecast says nothing of any hand.
 */
import type { ShiftSpan } from '../calendar/calendar.ts';
import type { PairFacts, SpellFacts } from '../figures/facts.ts';
import { grouped } from '../figures/grouped.ts';
import type { BenchId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import { spansAt } from './spans-at.ts';
import { isMeasured } from './visits.ts';

export interface HandHistory {
  /** The operative, or the bench where nobody was badged on. */
  readonly key: string;
  /** The benches, the usual one first, each with its stages. */
  readonly turns: readonly { readonly bench: BenchId; readonly stages: readonly StageCode[] }[];
  /** How likely the hand is there in a shift, by `shiftKey`. */
  readonly comes: ReadonlyMap<string, number>;
}

export interface CrewHistory {
  readonly hands: readonly HandHistory[];
  /** The most hands that usually work at a bench at once. */
  readonly room: ReadonlyMap<BenchId, number>;
}

/** Of a hand's spells: a stage that it does more seldom is not its own. */
const SHARE_LEAST = 0.02;
/** A hand comes to a shift that it came to more seldom than this by exception. */
const COMES_LEAST = 0.08;
/** One weekday counts on its own as far as it is known; so many shifts of all weekdays stand in for the rest. */
const WEEKDAY_PRIOR = 2;
/** Of the time in which a bench was worked at: more hands at once for less than this are an exception. */
const CROWDED_LEAST = 0.02;

/** Shifts of one name on one weekday are alike. */
export function shiftKey({ name, day }: Pick<ShiftSpan, 'name' | 'day'>): string {
  return `${name}/${weekday(day)}`;
}

/** 0 … 6, by Zeller's congruence for the Gregorian calendar; 0 for a Saturday. */
function weekday(day: string): number {
  const [year = 0, month = 0, date = 0] = day.split('-').map(Number);
  const [m, y] = month < 3 ? [month + 12, year - 1] : [month, year];
  return (
    (date +
      Math.floor((13 * (m + 1)) / 5) +
      y +
      Math.floor(y / 4) -
      Math.floor(y / 100) +
      Math.floor(y / 400)) %
    7
  );
}

export function keyOfHand({ hands, bench }: SpellFacts): string {
  return hands[0]?.hand ?? bench;
}

/** @param past the shifts from the beginning of the history until now, in their order */
export function crewOf(facts: readonly PairFacts[], past: readonly ShiftSpan[], since: Instant): CrewHistory {
  // What was done and not scanned has neither hand nor time.
  const spells = facts
    .flatMap((pair) => pair.spells)
    .filter(({ from, id, endedBy }) => from >= since && id !== endedBy)
    .sort((a, b) => a.from - b.from);
  const hands = [...grouped(spells, keyOfHand)].map(([key, own]) => ({
    key,
    turns: turnsOf(own),
    comes: comesOf(own, past),
  }));
  const benches = grouped(spells, ({ bench }) => bench);
  return {
    hands: hands.sort((a, b) => (a.key < b.key ? -1 : 1)),
    room: new Map([...benches].map(([bench, own]) => [bench, roomOf(own, past)])),
  };
}

function turnsOf(own: readonly SpellFacts[]): HandHistory['turns'] {
  const usual = [...grouped(own, ({ bench }) => bench)].sort(([, a], [, b]) => b.length - a.length);
  const turns = usual.map(([bench, there]) => ({
    bench,
    stages: [...grouped(there, ({ stage }) => stage)]
      .filter(([, at]) => at.length >= own.length * SHARE_LEAST)
      .map(([stage]) => stage)
      .sort(),
  }));
  return turns.filter(({ stages }) => stages.length > 0);
}

/** In shifts that overlap a hand is in the one that holds most of its spells. */
function comesOf(own: readonly SpellFacts[], past: readonly ShiftSpan[]): ReadonlyMap<string, number> {
  const holding = own.map(({ from }) => spansAt(past, from));
  const hits = new Map<string, number>();
  for (const { name } of holding.flat()) hits.set(name, (hits.get(name) ?? 0) + 1);
  const came = new Set(
    holding.flatMap((spans) => {
      const [best] = spans.toSorted((a, b) => (hits.get(b.name) ?? 0) - (hits.get(a.name) ?? 0));
      return best === undefined ? [] : [best];
    }),
  );
  const comes = new Map<string, number>();
  for (const [, named] of grouped(past, ({ name }) => name)) {
    const share = shareIn(named, came);
    for (const [key, alike] of grouped(named, shiftKey)) {
      const known = alike.filter((span) => came.has(span)).length;
      const likely = (known + WEEKDAY_PRIOR * share) / (alike.length + WEEKDAY_PRIOR);
      if (share >= COMES_LEAST && likely >= COMES_LEAST) comes.set(key, likely);
    }
  }
  return comes;
}

function shareIn(spans: readonly ShiftSpan[], came: ReadonlySet<ShiftSpan>): number {
  return spans.filter((span) => came.has(span)).length / spans.length;
}

function roomOf(own: readonly SpellFacts[], past: readonly ShiftSpan[]): number {
  const turns = own
    .filter((spell) => isMeasured(spell, past))
    .flatMap((spell) => [
      { at: spell.from, hand: keyOfHand(spell), by: 1 },
      { at: spell.to ?? spell.from, hand: keyOfHand(spell), by: -1 },
    ])
    .sort((a, b) => a.at - b.at || a.by - b.by);
  const open = new Map<string, number>();
  const ms: number[] = [];
  let last = turns[0]?.at ?? 0;
  for (const { at, hand, by } of turns) {
    ms[open.size] = (ms[open.size] ?? 0) + at - last;
    last = at;
    const many = (open.get(hand) ?? 0) + by;
    if (many > 0) open.set(hand, many);
    else open.delete(hand);
  }
  const workedMs = ms.slice(1).reduce((sum, part) => sum + (part ?? 0), 0);
  const usual = ms.findLastIndex((part, hands) => hands > 0 && (part ?? 0) > CROWDED_LEAST * workedMs);
  return Math.max(1, usual);
}

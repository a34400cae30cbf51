/**
 * A workshop of one queue whose truth is known: pairs come at random, several hands do the one stage, first due first done,
 * and one hand more sends them out. Made by a plain simulation of its own that shares nothing with the forecast's.
 */

import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import { type WorkClock, workClock } from '../../src/domain/calendar/work-clock.ts';
import type { PairFacts, SpellFacts, WaitFacts } from '../../src/domain/figures/facts.ts';
import type { PairAhead } from '../../src/domain/forecast/ahead.ts';
import { factsUntil } from '../../src/domain/forecast/facts-until.ts';
import { keyOfHand } from '../../src/domain/forecast/hands.ts';
import type { Known } from '../../src/domain/forecast/known-then.ts';
import { asBenchId, asOperativeId, asPairId, asRecordId, type StageCode } from '../../src/domain/ids.ts';
import { type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import { ONE, OUT } from './forecast-line.ts';

export interface QueueSetup {
  readonly shifts: readonly ShiftSpan[];
  readonly hands: number;
  /** Minutes: of work in the mean at each stage, and of working time between two comings. */
  readonly mean: number;
  readonly out: number;
  readonly every: number;
  readonly seed: number;
}

/** All pairs that came in these shifts, with what became of them. */
export function queueFacts({ shifts, hands, mean, out, every, seed }: QueueSetup): readonly PairFacts[] {
  const random = xoroshiro128plus(seed);
  const exponential = (minutes: number) => -Math.log(1 - uniformFloat64(random)) * minutes * MINUTE_MS;
  const clock = workClock(shifts);
  const free = Array.from({ length: hands }, () => 0);
  const done: Work[] = [];
  for (let due = exponential(every); due < clock.totalMs; due += exponential(every)) {
    const hand = free.indexOf(Math.min(...free));
    const begun = Math.max(due, free[hand] ?? 0);
    const work = { stage: ONE, hand: `op-${hand}`, due, begun, done: begun + exponential(mean) };
    free[hand] = work.done + MINUTE_MS;
    done.push(work);
  }
  let outFree = 0;
  return done
    .toSorted((a, b) => a.done - b.done)
    .map((one, place) => {
      const begun = Math.max(one.done, outFree);
      const sent = { stage: OUT, hand: 'op-out', due: one.done, begun, done: begun + exponential(out) };
      outFree = sent.done + MINUTE_MS;
      return factsMade(`Q${place}`, [one, sent], clock, shifts);
    });
}

interface Work {
  readonly stage: StageCode;
  readonly hand: string;
  readonly due: number;
  readonly begun: number;
  readonly done: number;
}

function factsMade(
  name: string,
  work: readonly Work[],
  clock: WorkClock,
  shifts: readonly ShiftSpan[],
): PairFacts {
  const end = shifts.at(-1)?.to ?? 0;
  const at = (worked: number) => clock.at(worked) ?? end + 1;
  const told = (worked: number, what: string) => ({ at: at(worked), record: asRecordId(`${name} ${what}`) });
  const [first, last] = [work[0]?.due ?? 0, work.at(-1)?.done ?? 0];
  const left = last < clock.totalMs ? told(last, 'left') : null;
  const spells = work.flatMap((one) => spellsMade(name, one, at, shifts)).filter(({ from }) => from <= end);
  return {
    pair: asPairId(name),
    job: 'FB',
    promised: null,
    logged: told(first, 'logged'),
    first: told(first, 'logged'),
    stays: [{ from: told(first, 'logged'), to: left, unfinished: false }],
    closed: left,
    handedBack: false,
    spells,
    waits: work.filter(({ due }) => due < clock.totalMs).map((one) => waitMade(name, one, at, end)),
    holds: [],
    sentBack: [],
    flags: [],
  };
}

/** One for each shift that the work goes through. */
function spellsMade(
  name: string,
  { stage, hand, begun, done }: Work,
  at: (worked: number) => Instant,
  shifts: readonly ShiftSpan[],
): SpellFacts[] {
  const [from, to] = [at(begun), at(done)];
  return shifts
    .filter((shift) => shift.from < to && from < shift.to)
    .map((shift, index) => {
      const id = asRecordId(`${name} ${stage} ${index}`);
      const begins = Math.max(from, shift.from);
      return {
        id,
        stage,
        shoe: 'both',
        bench: asBenchId(`bench-${stage}`),
        hands: [{ hand: asOperativeId(hand), from: begins }],
        answers: [],
        from: begins,
        to: Math.min(to, shift.to),
        timed: true,
        outcome: to <= shift.to ? 'done' : 'not-finished',
        endedBy: asRecordId(`${id} end`),
        undone: { left: null, right: null },
        amendedBy: [],
      };
    });
}

function waitMade(
  name: string,
  { stage, due, begun }: Work,
  at: (worked: number) => Instant,
  end: Instant,
): WaitFacts {
  const to = at(begun);
  const told = { stage, shoe: 'both', from: at(due), begunBy: asRecordId(`${name} due`) } as const;
  return to > end
    ? { ...told, to: null, endedBy: null, served: false }
    : { ...told, to, endedBy: asRecordId(`${name} begun`), served: true };
}

/** What was known at an instant, by the facts alone. */
export function queueKnownAt(all: readonly PairFacts[], at: Instant): Known {
  const facts = all.flatMap((pair) => factsUntil(pair, at) ?? []);
  return { facts, ahead: facts.filter(({ closed }) => closed === null).map(aheadMade) };
}

function aheadMade({ pair, first, spells, waits }: PairFacts): PairAhead {
  const left = [ONE, OUT].filter(
    (stage) => !spells.some((spell) => spell.stage === stage && spell.outcome === 'done'),
  );
  return {
    pair,
    job: 'FB',
    loggedAt: first.at,
    promised: null,
    steps: left.map((stage, index) => {
      const begun = spells.filter((spell) => spell.stage === stage);
      const open = begun.find(({ outcome }) => outcome === 'open');
      return {
        stage,
        after: left.slice(0, index),
        sure: true,
        since: waits.find((wait) => wait.stage === stage)?.from ?? first.at,
        settles: null,
        begun: begun.map(({ id }) => id),
        open: open === undefined ? null : { from: open.from, hand: keyOfHand(open), bench: open.bench },
      };
    }),
    last: null,
    holdsLast: false,
    hold: null,
    stopped: false,
  };
}

/**
 * The figures against somebody who counts: `figure-oracle.ts` reads the raw records and goes through the shift minute by
 * minute, knowing nothing of how the program folds and figures. One thousand histories, with nights over midnight, both
 * British clock changes, breaks, racks, parted pairs, records taken back, times put right, ends that nobody knows, two
 * hands at one pair.
 */
import fc from 'fast-check';
import { DateTime } from 'luxon';
import { expect, test } from 'vitest';
import type { PairFacts } from '../../src/domain/figures/facts.ts';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import type { Member } from '../../src/domain/figures/member.ts';
import { FIGURES, membersOf } from '../../src/domain/figures/members-of.ts';
import { finishings, hourlyOutput } from '../../src/domain/figures/output.ts';
import { queuesOver } from '../../src/domain/figures/queue.ts';
import type { ShiftSheet, StageFigures } from '../../src/domain/figures/sheet.ts';
import { shiftSheet } from '../../src/domain/figures/sheet-of.ts';
import { stripsOver } from '../../src/domain/figures/strips.ts';
import { stops } from '../../src/domain/fold/notes.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import type { StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { type OneShoe, SIDES } from '../../src/domain/record/kinds.ts';
import { dueOn, wayOf } from '../../src/domain/way.ts';
import { INES, PAIR, placed, RUTH, TOMASZ } from '../support/builders.ts';
import {
  BEFORE_MS,
  BENCH_STAGES,
  type FigureHistory,
  figureBook,
  figureHistories,
  IF_NEEDED,
  NEEDS,
  OWN,
  PAIRS,
  STAGES,
} from '../support/figure-histories.ts';
import {
  badgesOf,
  isBreak,
  PlainPair,
  type PlainSpell,
  type Waiting,
  type Worked,
  workedMinutes,
} from '../support/figure-oracle.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';

const ROUTE = { stages: STAGES, needs: NEEDS, ifNeeded: IF_NEEDED, owner: OWN };
const HANDS: readonly string[] = [INES, TOMASZ, RUTH];
const BENCHES = ['bench-a', 'bench-b', 'bench-c'];
/** They take some ten seconds of a machine that has nothing else to do. */
const RUNS = { numRuns: 1_000 };

/** Everything counted once: who worked when, who was badged on where, what waited. */
interface World extends FigureHistory {
  readonly facts: readonly PairFacts[];
  readonly sheet: ShiftSheet;
  readonly pairs: readonly PlainPair[];
  readonly spells: readonly PlainSpell[];
  /** Counted from before the first record to an hour after the shift. */
  readonly begins: number;
  readonly ends: number;
  readonly worked: readonly Worked[];
  /** By minute, whom the badges have on at which bench. */
  readonly badged: ReadonlyMap<number, readonly { readonly hand: string; readonly bench: string }[]>;
  readonly waiting: ReadonlyMap<PlainPair, readonly Waiting[]>;
}

function worldOf(history: FigureHistory): World {
  const { records, shift, shifts, at } = history;
  const rows = placed(records);
  const facts = PAIRS.flatMap((pair) => {
    const own = rows.filter(({ record }) => 'pair' in record && record.pair === pair);
    return factsOf(pair, own.toReversed(), figureBook) ?? [];
  });
  const begins = shift.from - BEFORE_MS - HOUR_MS;
  const ends = shift.to + HOUR_MS;
  const lookBack = { from: begins, to: at };
  const sheet = shiftSheet({ shift, shifts, at, facts, book: figureBook, attendance: records, lookBack });
  const pairs = PAIRS.map((pair) => new PlainPair(pair, records, ROUTE));
  const spells = pairs.flatMap((pair) => pair.spells);
  const isBadged = badgesOf(records, shifts);
  const places = HANDS.flatMap((hand) => BENCHES.map((bench) => ({ hand, bench })));
  const working = minutes(shift.from, at).filter((minute) => !isBreak(minute, shifts));
  return {
    ...{ ...history, facts, sheet, pairs, spells, begins, ends },
    worked: workedMinutes(spells, shifts, begins - 3 * HOUR_MS, at),
    badged: new Map(
      working.map((minute) => [minute, places.filter(({ hand, bench }) => isBadged(minute, hand, bench))]),
    ),
    waiting: new Map(pairs.map((pair) => [pair, pair.waitingOver(begins, ends)])),
  };
}

const stageOf = ({ sheet }: World, stage: StageCode): StageFigures => {
  const found = sheet.stages.find((one) => one.stage === stage);
  if (found === undefined) throw new Error(`no figures of ${stage}`);
  return found;
};
const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0);
const pairsIn = (members: readonly Member[]) => sum(members.map(({ share }) => share));
const minutesIn = (members: readonly Member[]) =>
  sum(members.map(({ ms }) => (ms ?? Number.NaN) / MINUTE_MS));
const rising = (numbers: readonly number[]) => [...numbers].sort((a, b) => a - b);

function minutes(from: number, to: number): readonly number[] {
  return Array.from(
    { length: Math.max(0, (to - from) / MINUTE_MS) },
    (_, minute) => from + minute * MINUTE_MS,
  );
}

/** Shoes, as halves of pairs, for which something is so. */
function shoes(
  world: World,
  isSo: (spells: readonly PlainSpell[], side: OneShoe, pair: PlainPair) => boolean,
) {
  return sum(
    world.pairs.flatMap((pair) =>
      SIDES.map((side) => {
        const own = pair.spells.filter(({ shoe }) => shoe === 'both' || shoe === side);
        return isSo(own, side, pair) ? 0.5 : 0;
      }),
    ),
  );
}

/** Whether the stage waits on this shoe in this minute. */
function waits(world: World, pair: PlainPair, minute: number, side: OneShoe, stage: StageCode): boolean {
  const counted = world.waiting.get(pair)?.[(minute - world.begins) / MINUTE_MS];
  return isSet(counted?.[side] ?? 0, stage);
}

function isSet(bits: number, stage: StageCode): boolean {
  return ((bits >> STAGES.indexOf(stage)) & 1) === 1;
}

const inShift = ({ shift, at }: World, instant: number) => shift.from <= instant && instant < at;

test('counted minute by minute, the figures of a thousand histories are the same', () => {
  fc.assert(
    fc.property(figureHistories, (history) => {
      const world = worldOf(history);
      for (const stage of STAGES) {
        wentThrough(world, stage);
        waited(world, stage);
        worked(world, stage);
        inQuestion(world, stage);
      }
      waitedMinuteForMinute(world);
      handsWere(world);
      pairsWere(world);
      lineWas(world);
      seriesAre(world);
      opens(world);
    }),
    RUNS,
  );
}, 180_000);

/** Benches with clocks that are off by hours, and heaps of records that no bench would write. */
const oddHeaps = fc.oneof(
  honestHistories(3).map(({ made }) => made),
  wildHeaps,
);

test('whatever the records, the facts are the same in any order of arrival', () => {
  fc.assert(
    fc.property(
      oddHeaps.chain((heap) => fc.tuple(fc.constant(heap), arrivalsOf(heap))),
      ([heap, arrived]) => {
        expect(factsOf(PAIR, arrived, figureBook)).toEqual(factsOf(PAIR, heap, figureBook));
      },
    ),
    { numRuns: 200 },
  );
});

test('whatever the records, what waits to this day is what the fold has due, and no span is less than nothing', () => {
  fc.assert(
    fc.property(oddHeaps, (heap) => {
      const facts = factsOf(PAIR, heap, figureBook);
      const state = foldPair(PAIR, heap);
      if (facts === null) return;
      expect(facts.closed === null).toBe(state.closedAt === null);
      for (const side of SIDES) expect(openWaits(facts, side)).toEqual(dueOf(state, side));
      const held = facts.holds.filter(({ to }) => to === null).map(({ why }) => why);
      expect(held.sort()).toEqual(heldBy(state));
      const ends = ({ from, to }: { from: number; to: number | null }) => (to ?? Infinity) - from;
      for (const wait of facts.waits) expect(ends(wait)).toBeGreaterThan(wait.served ? -1 : 0);
      for (const hold of facts.holds) expect(ends(hold)).toBeGreaterThan(0);
      for (const { from, to } of facts.stays) expect(to?.at ?? from.at).toBeGreaterThanOrEqual(from.at);
      const away = facts.stays
        .slice(1)
        .map(({ from }, index) => from.at - (facts.stays[index]?.to?.at ?? Infinity));
      expect(away.every((ms) => ms >= 0)).toBe(true);
    }),
    { numRuns: 500 },
  );
});

function openWaits({ waits: all }: PairFacts, side: OneShoe): readonly string[] {
  return all
    .filter(({ shoe, to }) => to === null && (shoe === 'both' || shoe === side))
    .map(({ stage }) => stage)
    .sort();
}

/** What keeps the pair by its folded state; nothing once it has left. */
function heldBy({ closedAt, setAside, owner, notes, parted }: PairState): readonly string[] {
  if (closedAt !== null) return [];
  return [
    ...(owner.is === 'asked' || owner.is === 'stopped' ? ['owner'] : []),
    ...(parted === null ? [] : ['parted']),
    ...(setAside === null ? [] : ['set-aside']),
    ...(notes.some(stops) ? ['stop-note'] : []),
  ];
}

function dueOf(state: PairState, side: OneShoe): readonly string[] {
  const way = wayOf(state, figureBook, side);
  const { closedAt, setAside, notes, owner } = state;
  if (way === null || closedAt !== null || setAside !== null || notes.some(stops) || owner.is === 'stopped')
    return [];
  const working = openSpells(state).filter(({ shoe }) => shoe === 'both' || shoe === side);
  return dueOn(way)
    .filter((stage) => stage !== OWN && !working.some((spell) => spell.stage === stage))
    .sort();
}

/** What went in, came out, came through at once and was sent back. */
function wentThrough(world: World, stage: StageCode): void {
  const figures = stageOf(world, stage);
  const here = (spells: readonly PlainSpell[]) => spells.filter((spell) => spell.stage === stage);
  const begun = ({ scanned, known, from }: PlainSpell) => (scanned || known) && inShift(world, from);
  const finished = ({ done, to }: PlainSpell) => done && to !== null && inShift(world, to);
  expect(pairsIn(figures.in)).toBe(shoes(world, (own) => here(own).some(begun)));
  expect(pairsIn(figures.out)).toBe(shoes(world, (own) => here(own).some(finished)));
  const good = shoes(world, (own, side) => {
    const through = here(own).filter(finished);
    return through.length > 0 && through.every(({ undone }) => undone[side]?.to !== stage);
  });
  expect(pairsIn(figures.firstPass)).toBe(good);
  const sent = (way: 'from' | 'to') =>
    sum(
      world.pairs.flatMap(({ told }) =>
        told.map((record) => {
          if (record.kind !== 'sent-back' || record[way] !== stage || !inShift(world, record.at)) return 0;
          return record.shoe === 'both' ? 1 : 0.5;
        }),
      ),
    );
  expect(pairsIn(figures.sentBackFrom)).toBe(sent('from'));
  expect(pairsIn(figures.sentBackTo)).toBe(sent('to'));
}

/** What waits at the moment, and how long was waited for what began. */
function waited(world: World, stage: StageCode): void {
  const figures = stageOf(world, stage);
  const waiting = shoes(world, (_own, side, pair) => waits(world, pair, world.at, side, stage));
  expect(pairsIn(figures.waiting)).toBe(waiting);
  // A wait of no time at all shows in no minute.
  const said = figures.wait.members.filter(({ ms }) => ms !== 0).flatMap(shoeMinutes);
  expect(rising(said)).toEqual(rising(waitedFor(world, stage)));
}

/** A wait of a pair is a wait of each of its shoes. */
function shoeMinutes({ share, ms }: Member): readonly number[] {
  return Array.from({ length: share * 2 }, () => (ms ?? Number.NaN) / MINUTE_MS);
}

/** For each shoe whose work at the stage began in the shift, how long it had waited; not where it was not waiting at all. */
function waitedFor(world: World, stage: StageCode): readonly number[] {
  return world.pairs.flatMap((pair) =>
    SIDES.flatMap((side) => {
      const here = pair.spells.filter(
        (spell) => spell.stage === stage && (spell.shoe === 'both' || spell.shoe === side),
      );
      const turns = new Set(here.flatMap(({ from, to }) => [from, to ?? from]));
      const begun = here.filter(({ scanned, known, from }) => (scanned || known) && inShift(world, from));
      // Two that begin together end one wait.
      return [...new Set(begun.map(({ from }) => from))].flatMap((from) => {
        let minute = from;
        while (waits(world, pair, minute - MINUTE_MS, side, stage)) {
          minute -= MINUTE_MS;
          if (turns.has(minute)) break;
        }
        return minute < from ? [(from - minute) / MINUTE_MS] : [];
      });
    }),
  );
}

function waitedMinuteForMinute(world: World): void {
  for (const pair of world.pairs) {
    const facts = world.facts.find((one) => one.pair === pair.pair);
    for (const side of SIDES) {
      const counted = world.waiting.get(pair) ?? [];
      const said = counted.map(() => 0);
      for (const { stage, shoe, from, to } of facts?.waits ?? []) {
        if (shoe !== 'both' && shoe !== side) continue;
        const first = (from - world.begins) / MINUTE_MS;
        const after = (Math.min(to ?? world.ends, world.ends) - world.begins) / MINUTE_MS;
        // Added, not joined, so that the same wait told twice shows.
        for (let minute = first; minute < after; minute += 1)
          said[minute] = (said[minute] ?? 0) + (1 << STAGES.indexOf(stage));
      }
      const wrong = counted.findIndex((waiting, minute) => waiting[side] !== said[minute]);
      if (wrong >= 0)
        expect(`${pair.pair} ${side} minute ${wrong}: ${said[wrong]}`).toBe(`${counted[wrong]?.[side]}`);
    }
  }
}

/** Touch time at the stage: within the shift, of what ended in it, and over the time that hands were on. */
function worked(world: World, stage: StageCode): void {
  const { shift, at, badged } = world;
  const figures = stageOf(world, stage);
  const here = world.spells.filter((spell) => spell.stage === stage);
  const all = world.worked.filter(({ spell }) => spell.stage === stage);
  const within = all.filter(({ minute }) => inShift(world, minute));
  const touch = sum(within.map(({ share }) => share));
  expect(minutesIn(figures.worked)).toBeCloseTo(touch, 6);
  const ended = here
    .filter(({ to }) => to !== null && inShift(world, to))
    .map((spell) => sum(all.filter((part) => part.spell === spell).map(({ share }) => share)));
  const touched = rising(ended.filter((ms) => ms > 0));
  const said = rising(figures.touch.members.map(({ ms }) => (ms ?? Number.NaN) / MINUTE_MS));
  expect(said.length).toBe(touched.length);
  for (const [index, ms] of touched.entries()) expect(said[index]).toBeCloseTo(ms, 6);
  const met = here.filter(({ from, to }) => from < at && (to === null || to >= shift.from));
  const benches = BENCHES.filter(
    (bench, index) =>
      BENCH_STAGES[index]?.some((one) => one === stage) || met.some((spell) => spell.bench === bench),
  );
  const on = new Set(within.map(({ minute, hand }) => `${minute} ${hand}`));
  for (const [minute, who] of badged)
    for (const { hand, bench } of who) if (benches.includes(bench)) on.add(`${minute} ${hand}`);
  if (on.size === 0) expect(figures.utilisation).toBeNull();
  else expect(figures.utilisation).toBeCloseTo(touch / on.size, 9);
}

/** What is in work, and what nobody knows the end of. */
function inQuestion(world: World, stage: StageCode): void {
  const { at, shift } = world;
  const figures = stageOf(world, stage);
  const some = (isSo: (spell: PlainSpell) => boolean) =>
    shoes(world, (own) => own.some((spell) => spell.stage === stage && isSo(spell)));
  const fresh = ({ from }: PlainSpell) => at < shift.to && from >= shift.from;
  expect(pairsIn(figures.working)).toBe(
    some((spell) =>
      spell.to === null ? fresh(spell) && spell.from <= at : spell.known && spell.from <= at && at < spell.to,
    ),
  );
  expect(pairsIn(figures.endUnknown)).toBe(
    some((spell) => {
      const { from, to, known } = spell;
      return from < at && (to === null ? !fresh(spell) : !known && to >= shift.from);
    }),
  );
}

/** Who was on, how long they worked, and what they finished. */
function handsWere(world: World): void {
  for (const hand of HANDS) {
    const figures = world.sheet.hands.find((one) => one.hand === hand);
    const own = world.worked.filter((part) => part.hand === hand && inShift(world, part.minute));
    const touch = sum(own.map(({ share }) => share));
    const on = new Set(own.map(({ minute }) => minute));
    for (const [minute, who] of world.badged) if (who.some((one) => one.hand === hand)) on.add(minute);
    expect((figures?.touchMs ?? 0) / MINUTE_MS).toBeCloseTo(touch, 6);
    expect((figures?.onMs ?? 0) / MINUTE_MS).toBe(on.size);
    expect(touch).toBeLessThanOrEqual(on.size + 1e-6);
    const out = STAGES.map((stage) =>
      shoes(world, (spells) =>
        spells.some(
          (spell) =>
            spell.stage === stage &&
            spell.done &&
            spell.to !== null &&
            inShift(world, spell.to) &&
            spell.hands.some((one) => one.hand === hand),
        ),
      ),
    );
    expect(sum((figures?.stages ?? []).map((stage) => pairsIn(stage.out)))).toBe(sum(out));
  }
}

/** How long each pair has been here, was worked on, and is late. */
function pairsWere(world: World): void {
  const { at, sheet } = world;
  for (const figures of sheet.pairs) {
    const pair = world.pairs.find((one) => one.pair === figures.pair);
    const touch = world.worked.filter(({ spell }) => spell.pair === figures.pair).map(({ share }) => share);
    expect(figures.touchMs / MINUTE_MS).toBeCloseTo(sum(touch), 6);
    const stay = pair?.stays.findLast(({ from }) => from < at);
    const end = Math.min(stay?.to ?? Number.NaN, at);
    expect(figures.leadMs).toBe(end - (pair?.stays[0]?.from ?? Number.NaN));
    const said = pair?.told.findLast(({ kind }) => kind === 'owner-answered' || kind === 'pair-logged');
    expect(figures.daysLate === null).toBe(said === undefined);
    if (figures.daysLate === null) continue;
    const day = DateTime.fromMillis(end, { zone: 'Europe/London' }).startOf('day');
    const due = DateTime.fromISO(promisedOf(pair), { zone: 'Europe/London' });
    expect(figures.daysLate).toBe(Math.round(day.diff(due, 'days').days));
  }
}

/** The owner's stop agrees on no day. */
function promisedOf(pair: PlainPair | undefined): string {
  const said = pair?.told.findLast(
    (record) =>
      record.kind === 'pair-logged' || (record.kind === 'owner-answered' && record.answer !== 'stop'),
  );
  return said !== undefined && 'promised' in said ? said.promised : '';
}

/** What is in the works and what left, Little's law, and what was put right. */
function lineWas(world: World): void {
  const { at, sheet, begins, shift } = world;
  const stays = world.pairs.flatMap((pair) => pair.stays);
  expect(sheet.line.inWork.length).toBe(world.pairs.filter((pair) => pair.isHere(at)).length);
  const gonePairs = (unfinished: boolean) =>
    world.pairs.filter((pair) =>
      pair.stays.some((stay) => stay.unfinished === unfinished && inShift(world, stay.to)),
    ).length;
  expect(sheet.line.boxed.length).toBe(gonePairs(false));
  expect(sheet.line.handedBack.length).toBe(gonePairs(true));
  const all = minutes(begins, at);
  const area = sum(all.map((minute) => world.pairs.filter((pair) => pair.isHere(minute)).length));
  expect(sheet.line.little.inWork).toBeCloseTo(area / all.length, 9);
  const gone = stays.filter(({ to }) => begins <= to && to < at);
  expect(sheet.line.little.perDay).toBeCloseTo(gone.length / ((at - begins) / DAY_MS), 9);
  const lead = sum(gone.map(({ from, to }) => (to - from) / DAY_MS)) / gone.length;
  if (gone.length === 0) expect(sheet.line.little.leadDays).toBeNull();
  else expect(sheet.line.little.leadDays).toBeCloseTo(lead, 9);
  const amended = world.spells
    .filter(({ from, to }) => from < at && (to === null || to >= shift.from))
    .flatMap(({ amends }) => amends);
  expect(sheet.amended.map(({ record }): string => record).sort()).toEqual([...amended].sort());
  holdsBackIs(world);
}

/** The most work that waits: shoes that wait, times the minutes that a pair took there on average. */
function holdsBackIs(world: World): void {
  const queues = STAGES.map((stage) => {
    const queue = shoes(world, (_own, side, pair) => waits(world, pair, world.at, side, stage));
    const done = shoes(world, (own) =>
      own.some((spell) => spell.stage === stage && spell.done && spell.to !== null && spell.to < world.at),
    );
    const minutes = sum(world.worked.filter(({ spell }) => spell.stage === stage).map(({ share }) => share));
    return { stage, queue, minutes: done > 0 ? (queue * minutes) / done : -1 };
  }).filter(({ queue }) => queue > 0);
  const most = Math.max(...queues.map(({ minutes }) => minutes));
  const said = world.sheet.line.holdsBack;
  const found = queues.find(({ stage }) => stage === said?.stage);
  if (queues.length === 0) expect(said).toBeNull();
  else expect(found?.minutes).toBeCloseTo(most, 6);
  if (said?.queueMs != null) expect(said.queueMs / MINUTE_MS).toBeCloseTo(most, 6);
  else expect(found?.minutes ?? -1).toBe(-1);
}

/** Queues minute for minute, hours, and the strips of the benches. */
function seriesAre(world: World): void {
  const { facts, shift } = world;
  const queues = queuesOver(facts, shift);
  const all = finishings(facts, shift);
  for (const stage of STAGES) {
    const steps = queues.get(stage) ?? [];
    const counted = world.pairs.map((pair) => world.waiting.get(pair) ?? []);
    let step = -1;
    for (let minute = shift.from; minute < shift.to; minute += MINUTE_MS) {
      while ((steps[step + 1]?.at ?? minute + 1) <= minute) step += 1;
      const said = steps[step]?.waiting ?? 0;
      let waiting = 0;
      for (const own of counted) {
        const { left, right } = own[(minute - world.begins) / MINUTE_MS] ?? { left: 0, right: 0 };
        waiting += (isSet(left, stage) ? 0.5 : 0) + (isSet(right, stage) ? 0.5 : 0);
      }
      if (said !== waiting) expect(`${stage} ${minute}: ${said}`).toBe(`${stage} ${minute}: ${waiting}`);
    }
    for (const hour of hourlyOutput(all, stage, shift)) {
      const by = (end: number) =>
        shoes(world, (own) =>
          own.some(
            ({ stage: there, done, to }) =>
              there === stage && done && to !== null && shift.from <= to && to < end,
          ),
        );
      expect([hour.value, hour.sum]).toEqual([by(hour.to) - by(hour.from), by(hour.to)]);
    }
  }
  const strips = stripsOver(facts, shift).flatMap(({ spells }) => spells.map(({ id }): string => id));
  const met = world.spells.filter(
    ({ scanned, known, from, to }) =>
      (scanned || known) && from < shift.to && (to === null || to >= shift.from),
  );
  expect(strips.sort()).toEqual(met.map(({ id }) => id).sort());
}

/** Every number opens into members, and each of them into records that there are. */
function opens({ records, sheet }: World): void {
  const known = new Set<string>(records.map(({ id }) => id));
  const keys: readonly string[] = [
    ...sheet.stages.map(({ stage }) => stage),
    ...sheet.hands.map(({ hand }) => hand),
    ...sheet.pairs.map(({ pair }) => pair),
  ];
  for (const figure of FIGURES)
    for (const of of keys)
      for (const member of membersOf(sheet, figure, of) ?? [])
        if (
          !(member.share === 1 || member.share === 0.5) ||
          member.records.length === 0 ||
          !member.records.every((id) => known.has(id))
        )
          expect(`${figure} of ${of}: ${JSON.stringify(member)}`).toBe('records that there are');
}

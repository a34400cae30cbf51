import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { isDone } from '../../src/domain/fold/spells.ts';
import { asBenchId, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { JOBS, type LedgerRecord, SHOES, type Shoe, SIDES } from '../../src/domain/record/kinds.ts';
import type { RouteStep } from '../../src/domain/route.ts';
import {
  againAfter,
  besideEachOther,
  dueOn,
  isOnRoute,
  leftOn,
  missingFor,
  settlingBefore,
  unrecordedBefore,
  type Way,
  wayOf,
} from '../../src/domain/way.ts';
import { fullBook, handAt, MONDAY_8, PAIR, placed, RUTH, TOMASZ } from '../support/builders.ts';

const BOOK = fullBook();
const STAGES = BOOK.stages.map(({ code }) => code);

/** A pair of the catalogue's routes with anything at all behind it, whether that could have come about or not. */
interface Behind {
  readonly records: readonly LedgerRecord[];
  readonly state: PairState;
  readonly way: (shoe: Shoe) => Way;
}

const shoes = fc.constantFrom(...SHOES);
const stages = fc.constantFrom(...STAGES);
/** The owner's yes is given or not, and not asked for as a stage. */
const benchStages = stages.filter((stage) => stage !== BOOK.ways.owner);

const pairs: fc.Arbitrary<Behind> = fc
  .record({
    job: fc.constantFrom(...JOBS),
    yes: fc.constantFrom('to-ask' as const, 'given' as const, 'not-wanted' as const),
    worked: fc.array(fc.tuple(stages, shoes, fc.boolean(), fc.nat(3000)), { maxLength: 60 }),
    asked: fc.subarray(STAGES, { maxLength: 4 }),
    dropped: fc.subarray(STAGES, { maxLength: 4 }),
    back: fc.option(fc.tuple(stages, shoes)),
  })
  .map(({ job, yes, worked, asked, dropped, back }) => {
    const office = handAt(asBenchId('desk'), RUTH, MONDAY_8 - DAY_MS);
    const bench = handAt(asBenchId('bench-a'), TOMASZ, MONDAY_8);
    const records: LedgerRecord[] = [office.write('pair-logged', { job, yes, route: 1 })];
    for (const stage of dropped) records.push(office.write('not-needed', { stage }));
    if (asked.length > 0) records.push(office.write('stage-asked', { stages: asked }));
    for (const [stage, shoe, scanned, minutes] of worked) {
      if (!scanned) {
        records.push(bench.write('done-unscanned', { stage, shoe }));
        continue;
      }
      const clockIn = bench.write('clocked-in', { stage, shoe });
      const at = clockIn.at + minutes * MINUTE_MS;
      records.push(clockIn, bench.write('clocked-out', { stage, of: clockIn.id, at }));
    }
    if (back !== null) records.push(bench.write('sent-back', { to: back[0], shoe: back[1] }));
    const state = foldPair(PAIR, placed(records));
    return { records, state, way: (shoe: Shoe) => known(wayOf(state, BOOK, shoe)) };
  });

function known(way: Way | null): Way {
  if (way === null) throw new Error('the pair has no way');
  return way;
}

/** Whether `later` stands on `earlier`, found by walking back step by step. */
function standsOn(steps: readonly RouteStep[], later: StageCode, earlier: StageCode): boolean {
  const before = steps.find(({ stage }) => stage === later)?.after ?? [];
  return before.includes(earlier) || before.some((one) => standsOn(steps, one, earlier));
}

describe('the open fronts of any pair', () => {
  test('are among what is left, miss nothing, and are never none while something is left', () => {
    fc.assert(
      fc.property(pairs, shoes, ({ way }, shoe) => {
        const held = way(shoe);
        const [due, left] = [dueOn(held), leftOn(held)];
        expect(due.filter((stage) => !left.includes(stage))).toEqual([]);
        expect(due.filter((stage) => missingFor(held, stage).length > 0)).toEqual([]);
        expect(due.length > 0).toBe(left.length > 0);
      }),
      { numRuns: 300 },
    );
  });

  test('miss only what is left on the way, and what must come first indeed', () => {
    fc.assert(
      fc.property(pairs, shoes, stages, ({ way }, shoe, stage) => {
        const held = way(shoe);
        for (const missing of missingFor(held, stage)) {
          expect(leftOn(held)).toContain(missing);
          expect(standsOn(held.route, stage, missing)).toBe(true);
        }
        const before = unrecordedBefore(held, stage);
        expect(before).toEqual(leftOn(held).filter((left) => standsOn(held.route, stage, left)));
      }),
      { numRuns: 300 },
    );
  });

  test('are beside each other, each two of them', () => {
    fc.assert(
      fc.property(pairs, ({ way }) => {
        const due = dueOn(way('both'));
        for (const one of due) {
          for (const other of due) {
            const apart =
              !standsOn(way('both').route, one, other) && !standsOn(way('both').route, other, one);
            expect(besideEachOther(way('both'), one, other)).toBe(one !== other && apart);
          }
        }
      }),
      { numRuns: 100 },
    );
  });
});

describe('a shoe that goes back', () => {
  const back = fc.tuple(pairs, stages, shoes);

  test('has done again all that stands on it, on both shoes what stands on colour, and nothing else', () => {
    fc.assert(
      fc.property(back, ([{ way }, to, shoe]) => {
        const held = way(shoe);
        const again = againAfter(held, to, shoe);
        const due = held.route
          .map(({ stage }) => stage)
          .filter((stage) => held.done.has(stage) && standsOn(held.route, stage, to));
        expect(again.map(({ stage }) => stage).filter((stage) => stage !== to)).toEqual(due);
        for (const { stage, shoe: on } of again) {
          const coloured = [to, ...due].some(
            (colour) =>
              held.ways.colour.includes(colour) &&
              held.done.has(colour) &&
              (colour === stage || standsOn(held.route, stage, colour)),
          );
          expect(on).toBe(coloured ? 'both' : shoe);
        }
      }),
      { numRuns: 400 },
    );
  });

  test('leaves nothing done that stands on what is to be done again, on either shoe', () => {
    fc.assert(
      fc.property(back, ([{ records, way }, to, shoe]) => {
        const pen = handAt(asBenchId('bench-b'), TOMASZ, MONDAY_8 + 300 * DAY_MS);
        const again = [...againAfter(way(shoe), to, shoe)];
        const state = foldPair(PAIR, placed([...records, pen.write('sent-back', { to, shoe, again })]));
        const { route } = way(shoe);
        const redone = [{ stage: to, shoe }, ...again];
        for (const one of redone) {
          for (const side of SIDES.filter((each) => one.shoe === 'both' || one.shoe === each)) {
            const standing = route.filter(({ stage }) => standsOn(route, stage, one.stage));
            // What the other shoe alone has done was never its pair's colour, and stays.
            const known = standing.filter(({ stage }) => way(shoe).done.has(stage));
            expect(known.filter(({ stage }) => isDone(state, stage, side))).toEqual([]);
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  test('changes nothing that does not stand on it', () => {
    fc.assert(
      fc.property(back, ([{ records, state: before, way }, to, shoe]) => {
        const pen = handAt(asBenchId('bench-b'), TOMASZ, MONDAY_8 + 300 * DAY_MS);
        const again = [...againAfter(way(shoe), to, shoe)];
        const state = foldPair(PAIR, placed([...records, pen.write('sent-back', { to, shoe, again })]));
        for (const stage of STAGES) {
          if (stage === to || standsOn(way(shoe).route, stage, to)) continue;
          for (const side of SIDES) expect(isDone(state, stage, side)).toBe(isDone(before, stage, side));
        }
      }),
      { numRuns: 300 },
    );
  });

  test('is then left to do where it went, whatever its job takes', () => {
    fc.assert(
      fc.property(back, ([{ records }, to, shoe]) => {
        const pen = handAt(asBenchId('bench-b'), TOMASZ, MONDAY_8 + 300 * DAY_MS);
        const state = foldPair(PAIR, placed([...records, pen.write('sent-back', { to, shoe })]));
        // What the office does at its desk is done by its own records.
        if (to === BOOK.ways.owner || to === BOOK.ways.receive || to === BOOK.ways.inspect) return;
        expect(leftOn(known(wayOf(state, BOOK, shoe)))).toContain(to);
      }),
      { numRuns: 200 },
    );
  });
});

describe('what still settles', () => {
  const instants = fc.integer({ min: 0, max: 60 * 24 * 60 }).map((minutes) => MONDAY_8 + minutes * MINUTE_MS);

  test('grows no longer as time goes on, is over in the end, and each has an end that is not yet come', () => {
    fc.assert(
      fc.property(pairs, stages, instants, instants, ({ state, way }, stage, one, other) => {
        const [early, late] = [Math.min(one, other), Math.max(one, other)];
        const at = (now: number) => settlingBefore(state, way('both'), BOOK, stage, now);
        expect(at(early)).toEqual(expect.arrayContaining([...at(late)]));
        expect(at(early).filter(({ until }) => until <= early)).toEqual([]);
        expect(at(MONDAY_8 + 400 * DAY_MS)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });

  test('is only before the stage, only where the site waits, and keeps nothing from being due', () => {
    const unhurried = fullBook({ stages: BOOK.stages.map((stage) => ({ ...stage, settles: null })) });
    fc.assert(
      fc.property(pairs, stages, instants, ({ state, way }, stage, now) => {
        const held = way('both');
        for (const { stage: earlier } of settlingBefore(state, held, BOOK, stage, now)) {
          expect(standsOn(held.route, stage, earlier)).toBe(true);
          expect(BOOK.stages.find(({ code }) => code === earlier)?.settles?.least).toBeGreaterThan(0);
        }
        expect(settlingBefore(state, held, unhurried, stage, now)).toEqual([]);
        expect(dueOn(held)).toEqual(dueOn(known(wayOf(state, unhurried))));
      }),
      { numRuns: 200 },
    );
  });
});

test('a stage that is said not to be needed is missed by nobody, and one that is asked for is on the way', () => {
  fc.assert(
    fc.property(pairs, benchStages, stages, ({ records }, stage, other) => {
      const pen = handAt(asBenchId('bench-b'), RUTH, MONDAY_8 + 300 * DAY_MS);
      const dropped = [...records, pen.write('not-needed', { stage })];
      const way = known(wayOf(foldPair(PAIR, placed(dropped)), BOOK));
      expect([isOnRoute(way, stage), missingFor(way, other).includes(stage)]).toEqual([false, false]);
      const asked = [...dropped, pen.write('stage-asked', { stages: [stage] })];
      const again = known(wayOf(foldPair(PAIR, placed(asked)), BOOK));
      expect(isOnRoute(again, stage)).toBe(true);
      expect(leftOn(again).includes(stage)).toBe(!again.done.has(stage));
    }),
    { numRuns: 200 },
  );
});

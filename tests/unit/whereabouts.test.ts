/** Where a pair is, at each step of a full rebuild and in what comes between. The routes are the catalogue's. */
import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asBenchId, asPairId, asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { inWorkingOrder } from '../../src/domain/route.ts';
import { routesNow } from '../../src/domain/site-book.ts';
import { routeOfJob } from '../../src/domain/site-routes.ts';
import { ALONE, type Around, whereaboutsOf } from '../../src/domain/whereabouts.ts';
import { accountOf } from '../../src/domain/whereabouts-account.ts';
import {
  DESK,
  DSP,
  fullBook,
  handAt,
  INES,
  INT,
  LAY,
  MONDAY_8,
  NOBODYS_ID,
  PAIR,
  placed,
  RACK,
  RUTH,
  siteBook,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';

const BOOK = fullBook();
const code = asStageCode;
const [REC, OWN, LAS, CLO, SLP, TRI, CHK, EST] = ['REC', 'OWN', 'LAS', 'CLO', 'SLP', 'TRI', 'CHK', 'EST'].map(
  code,
) as [StageCode, StageCode, StageCode, StageCode, StageCode, StageCode, StageCode, StageCode];

/** The whole way of a full rebuild at the benches: booking in and the owner's yes are the office's. */
const WAY: readonly StageCode[] = (() => {
  const routes = routesNow(BOOK);
  if (routes === null) throw new Error('the full book has routes');
  const needed = routeOfJob(routes, 'FB').filter(({ need }) => need === 'always');
  return inWorkingOrder(
    needed.map((step) => ({ ...step, after: step.after.filter((one) => one !== CLO) })),
  ).filter((stage) => stage !== OWN && stage !== REC);
})();

/** A pair that is logged and has been through the first stages of its way, an hour each. */
function worked(stages: readonly StageCode[], told: object = {}) {
  const office = handAt(DESK, RUTH);
  const bench = handAt(WELTING, INES, MONDAY_8 + HOUR_MS);
  const records: LedgerRecord[] = [office.write('pair-logged', { yes: 'given', ...told })];
  let now = MONDAY_8 + HOUR_MS;
  for (const stage of stages) {
    const began = bench.write('clocked-in', { stage, at: now });
    now += 30 * MINUTE_MS;
    records.push(began, bench.write('clocked-out', { stage, of: began.id, at: now, closes: stage === DSP }));
    now += 30 * MINUTE_MS;
  }
  return { office, bench, records, now };
}

const upTo = (stage: StageCode) => WAY.slice(0, WAY.indexOf(stage));
const whereAt = (state: PairState, now: Instant, around: Around = ALONE) =>
  whereaboutsOf(state, BOOK, now, around);

describe('each step of a full rebuild', () => {
  test('its way has the 40 stages that a full rebuild always takes at the benches', () => {
    // 43 stages, less closing repairs (only if needed), booking in and the owner's yes (the office's): common practice, no source.
    expect(WAY).toHaveLength(40);
  });

  test.each(WAY.map((stage, index) => ({ stage, index })))(
    '$stage at work, then finished',
    ({ stage, index }) => {
      const { bench, records, now } = worked(WAY.slice(0, index));
      const began = bench.write('clocked-in', { stage, at: now });
      const working = whereAt(stateAfter(...records, began), now + MINUTE_MS);
      expect(working.place).toMatchObject({
        is: 'at-work',
        spells: [{ stage, by: INES, bench: WELTING, from: now }],
      });
      expect(working.left?.find((one) => one.stage === stage)).toMatchObject({ is: 'at-work', missing: [] });
      expect(
        working.waits.some((wait) => 'stage' in wait && wait.for === 'turn' && wait.stage === stage),
      ).toBe(false);

      const done = bench.write('clocked-out', {
        stage,
        of: began.id,
        at: now + MINUTE_MS,
        closes: stage === DSP,
      });
      const state = stateAfter(...records, began, done);
      const finished = whereAt(state, now + 2 * MINUTE_MS);
      expect(finished.done.map(({ spell }) => spell.stage)).toEqual(WAY.slice(0, index + 1));
      expect([...(finished.left ?? [])].map((one) => one.stage).sort()).toEqual(
        [...WAY.slice(index + 1)].sort(),
      );
      for (const { is, missing } of finished.left ?? []) expect(missing.length === 0).toBe(is === 'due');
      expect(finished.finished).toBe(index === WAY.length - 2);
      if (stage === DSP)
        expect(finished.place).toMatchObject({ is: 'out', since: now + MINUTE_MS, inParts: false });
      else expect(finished.place).toMatchObject({ is: 'met', met: { stage, by: INES, at: now + MINUTE_MS } });
    },
  );

  test('what the office did at its desk is done, with its day and who did it', () => {
    const sound = { sole: 'through', welt: 'sound', heel: 'lifts' } as const;
    const office = handAt(DESK, RUTH);
    const logged = office.write('pair-logged', { yes: 'to-ask', condition: { left: sound, right: sound } });
    const said = office.write('owner-answered', { at: MONDAY_8 + HOUR_MS });
    expect(whereAt(stateAfter(logged), MONDAY_8).doneAtDesk).toEqual([
      { stage: REC, at: MONDAY_8, by: RUTH },
      { stage: TRI, at: MONDAY_8, by: RUTH },
    ]);
    expect(whereAt(stateAfter(logged, said), MONDAY_8).doneAtDesk.at(-1)).toEqual({
      stage: OWN,
      at: MONDAY_8 + HOUR_MS,
      by: null,
    });
  });

  test('what is left stands in the usual order, and what may begin now is marked', () => {
    const { records, now } = worked(upTo(code('PUL')));
    const { left, due } = whereAt(stateAfter(...records), now);
    const order = BOOK.stages.map((stage) => stage.code);
    const positions = (left ?? []).map(({ stage }) => order.indexOf(stage));
    expect(positions).toEqual([...positions].sort((a, b) => a - b));
    expect(due).toEqual(['PUL', 'FND', 'PRP', 'HBL']);
  });
});

describe('where it is', () => {
  test('on a rack, until somebody has it in hand again', () => {
    const { bench, records, now } = worked(upTo(WLT));
    const racked = bench.write('racked', { rack: RACK, at: now });
    expect(whereAt(stateAfter(...records, racked), now).place).toMatchObject({
      is: 'on-rack',
      rack: RACK,
      met: { by: INES, at: now },
    });
    const found = handAt(asBenchId('bench-b'), TOMASZ, now + 1).write('found-here');
    expect(whereAt(stateAfter(...records, racked, found), now).place).toMatchObject({
      is: 'met',
      met: { by: TOMASZ, bench: 'bench-b', stage: null },
    });
  });

  test('set aside with its reason, on the rack that it was put on', () => {
    const { bench, records, now } = worked(upTo(WLT));
    const aside = bench.write('set-aside', { stage: WLT, reason: 'no thread', at: now });
    const racked = bench.write('racked', { rack: RACK, at: now + 1 });
    const { place, waits } = whereAt(stateAfter(...records, aside, racked), now);
    expect(place).toMatchObject({
      is: 'set-aside',
      stage: WLT,
      reason: 'no thread',
      since: now,
      rack: RACK,
      by: INES,
    });
    expect(waits[0]).toMatchObject({ for: 'taking-up', reason: 'no thread', since: now });
  });

  test('what the office writes does not move it', () => {
    const { office, records, now } = worked(upTo(WLT));
    const asked = office.write('owner-asked', { at: now + HOUR_MS });
    expect(whereAt(stateAfter(...records, asked), now + HOUR_MS).place).toMatchObject({
      is: 'met',
      met: { bench: WELTING },
    });
  });

  test('parted: each shoe where it was worked last, the other where the two were parted', () => {
    const { bench, records, now } = worked(upTo(EST));
    const parted = bench.write('parted', { shoe: 'left', at: now });
    const second = handAt(asBenchId('bench-b'), TOMASZ, now + HOUR_MS);
    const left = second.write('clocked-in', { stage: code('SC2'), shoe: 'left' });
    const where = whereAt(stateAfter(...records, parted, left), now + 2 * HOUR_MS);
    expect(where.parted).toMatchObject({
      alone: 'left',
      since: now,
      shoes: {
        left: { bench: 'bench-b', by: TOMASZ, spell: { stage: 'SC2', outcome: 'open' } },
        right: { bench: WELTING, by: INES, since: now, spell: null },
      },
    });
    expect(where.waits).toContainEqual({ for: 'twin', stage: EST });
  });

  test('a number without any record of it, and one that was scanned and never logged', () => {
    expect(whereAt(stateAfter(), MONDAY_8)).toMatchObject({
      logged: false,
      place: { is: 'unknown' },
      left: null,
    });
    const scanned = handAt(WELTING).write('clocked-in', { unknownPair: true });
    const where = whereAt(stateAfter(scanned), MONDAY_8);
    expect(where).toMatchObject({ logged: false, place: { is: 'at-work' }, left: null, promise: null });
    expect(where.waits).toEqual([{ for: 'logging' }]);
  });

  test('returned in parts', () => {
    const { office, bench, records, now } = worked(upTo(WLT));
    const stop = office.write('owner-answered', { answer: 'stop', at: now });
    expect(whereAt(stateAfter(...records, stop), now).waits).toEqual([{ for: 'parts', since: now }]);
    const began = bench.write('clocked-in', { stage: DSP, at: now + 1 });
    const out = bench.write('clocked-out', { stage: DSP, of: began.id, closes: true, at: now + 2 });
    expect(whereAt(stateAfter(...records, stop, began, out), now + 3).place).toMatchObject({
      is: 'out',
      inParts: true,
    });
    const given = office.write('handed-back', { at: now + HOUR_MS });
    expect(whereAt(stateAfter(...records, stop, given), now + 2 * HOUR_MS)).toMatchObject({
      place: { is: 'out', since: now + HOUR_MS, inParts: true },
      waits: [],
      left: [],
      due: [],
      promise: null,
    });
  });
});

describe('what it waits for', () => {
  test('the owner, and then only what does not stand on the yes', () => {
    const { records, now } = worked([TRI], { yes: 'to-ask' });
    const { waits } = whereAt(stateAfter(...records), now);
    expect(waits[0]).toEqual({ for: 'owner', since: MONDAY_8, why: null });
    expect(waits.flatMap((wait) => (wait.for === 'turn' ? [wait.stage] : []))).toEqual(['CLN', 'FND']);
  });

  test('its last, while another pair has it', () => {
    const { records, now } = worked(upTo(LAS));
    const other = asPairId('P0300008');
    const around: Around = { ...ALONE, lastHeldBy: (last) => (last === '82 8 F' ? other : null) };
    const { waits, last } = whereAt(stateAfter(...records), now, around);
    expect(waits[0]).toEqual({ for: 'last', stage: LAS, last: '82 8 F', heldBy: other });
    expect(last).toEqual({ last: '82 8 F', inIt: false, heldBy: other });
  });

  test('a setting night: levelled soles dry at least twelve hours before the last comes out', () => {
    // The catalogue's least wait after levelling; from memory, marked so there.
    const { records, now } = worked(upTo(SLP));
    const levelled = now - 30 * MINUTE_MS;
    const { waits } = whereAt(stateAfter(...records), now);
    expect(waits[0]).toEqual({ for: 'settling', stage: 'LEV', before: SLP, until: levelled + 12 * HOUR_MS });
    const rested = whereAt(stateAfter(...records), levelled + 12 * HOUR_MS).waits;
    expect(rested[0]).toEqual({ for: 'turn', stage: SLP, others: 0 });
  });

  test('a machine out of use, and the queue with the pairs in it', () => {
    const { records, now } = worked(upTo(WLT));
    const around: Around = {
      ...ALONE,
      outOfUse: (stage) => (stage === WLT ? 'guard loose' : null),
      queueAt: (stage, pair) => (pair === PAIR && stage === code('HBL') ? 4 : 0),
    };
    const { waits } = whereAt(stateAfter(...records), now, around);
    expect(waits[0]).toEqual({ for: 'machine', stage: WLT, why: 'guard loose' });
    expect(waits).toContainEqual({ for: 'turn', stage: 'HBL', others: 4 });
  });

  test('rework, until it is done again on the shoe that went back', () => {
    const { bench, records, now } = worked(upTo(code('RND')));
    const back = bench.write('sent-back', { from: code('RND'), to: LAY, shoe: 'left', at: now });
    const where = whereAt(stateAfter(...records, back), now);
    expect(where.waits[0]).toMatchObject({ for: 'rework', back: { to: LAY, shoe: 'left' } });
    expect(where.timesBack).toBe(1);
    expect(where.done.filter(({ again }) => again).map(({ spell }) => spell.stage)).toEqual([LAY]);
    const again = bench.write('clocked-in', { stage: LAY, shoe: 'left', at: now + 1 });
    const done = bench.write('clocked-out', { stage: LAY, of: again.id, at: now + 2 });
    const healed = whereAt(stateAfter(...records, back, again, done), now + 3);
    expect(healed.waits.some((wait) => wait.for === 'rework')).toBe(false);
    expect(healed.timesBack).toBe(1);
  });

  test('a stop note, until it is released', () => {
    const { bench, office, records, now } = worked(upTo(WLT));
    const note = bench.write('noted', { weight: 'stop', at: now });
    expect(whereAt(stateAfter(...records, note), now).waits[0]).toMatchObject({ for: 'stop-note' });
    const released = office.write('note-released', { note: note.id, at: now + 1 });
    const where = whereAt(stateAfter(...records, note, released), now + 2);
    expect(where.waits.some((wait) => wait.for === 'stop-note')).toBe(false);
    expect(where.openNotes).toHaveLength(1);
  });
});

describe('the promise', () => {
  const promised = '2026-11-12';
  const at = (now: Instant, told: object = {}) => {
    const { records } = worked(upTo(CHK), { promised, ...told });
    return whereAt(stateAfter(...records), now).promise;
  };
  // 2026-11-12 is the Thursday of the week after `MONDAY_8`.
  test.each([
    ['two days before', MONDAY_8 + 8 * DAY_MS, 2, 'stands'],
    ['the day before the day passes, in the site’s own zone', Date.UTC(2026, 10, 12, 23, 59), 0, 'cannot'],
    ['the day after', Date.UTC(2026, 10, 13, 0, 1), -1, 'late'],
  ] as const)('%s', (_, now, daysTo, stands) => {
    expect(at(now)).toMatchObject({ day: promised, daysTo, stands });
  });

  test('the twelve hours that boxed shoes should rest are the least that is left', () => {
    // Heel socks 10 min, then boxing 12 h: the catalogue's least waits, from memory and marked so there.
    const now = MONDAY_8 + 8 * DAY_MS;
    expect(at(now)?.notBefore).toBe(now + 10 * MINUTE_MS + 12 * HOUR_MS);
  });

  test('hangs on the owner', () => {
    const { records, now } = worked([TRI], { yes: 'to-ask', promised });
    expect(whereAt(stateAfter(...records), now).promise?.stands).toBe('hangs');
  });

  test('kept, or missed, by the day it went out', () => {
    // 40 hours from nine on Monday: it goes out early on Wednesday.
    const { records, now } = worked(WAY);
    const out = (day: string) =>
      whereAt(
        stateAfter(
          { ...(records[0] as LedgerRecord & { kind: 'pair-logged' }), promised: day },
          ...records.slice(1),
        ),
        now + 90 * DAY_MS,
      ).promise;
    expect(out('2026-12-10')?.stands).toBe('kept');
    expect(out('2026-11-02')).toMatchObject({ stands: 'missed', daysTo: -2 });
  });
});

describe('what is kept beside', () => {
  test('a stage that nobody scanned is done, without a hand', () => {
    const { office, records, now } = worked(upTo(INT));
    const late = office.write('done-unscanned', { stage: INT, at: now });
    const done = whereAt(stateAfter(...records, late), now).done.at(-1);
    expect(done?.spell).toMatchObject({ stage: INT, by: null, timed: false });
  });

  test('two desks that put details right apart: both stand, and the later holds', () => {
    const office = handAt(DESK, RUTH);
    const second = handAt(asBenchId('desk-b'), INES, MONDAY_8 + MINUTE_MS);
    const logged = office.write('pair-logged');
    const one = office.write('pair-amended', {
      after: logged.id,
      changes: { size: '9' },
      at: MONDAY_8 + HOUR_MS,
    });
    const two = second.write('pair-amended', {
      after: logged.id,
      changes: { size: '8½' },
      at: MONDAY_8 + 2 * HOUR_MS,
    });
    const state = stateAfter(logged, one, two);
    expect(state.details?.size).toBe('8½');
    expect(whereAt(state, MONDAY_8 + 3 * HOUR_MS).amendedApart).toEqual([two]);
    expect(state.amended).toEqual([one, two]);
  });

  test('the account keeps what was taken back, and what took it back', () => {
    const office = handAt(DESK, RUTH);
    const logged = office.write('pair-logged');
    const voided = office.write('voided', { of: logged.id });
    const idle = office.write('voided', { of: NOBODYS_ID });
    const records = placed([logged, voided, idle]);
    const account = accountOf(records, stateAfter(logged, voided, idle));
    expect(account.map(({ record }) => record.id)).toEqual([logged.id, voided.id, idle.id]);
    expect(account[0]?.takenBackBy).toEqual(voided);
    expect(account[2]?.flags).toContain('void-of-nothing');
  });

  test('a site without routes: nothing is known to be left, and nothing is claimed', () => {
    const { records, now } = worked([WLT]);
    const where = whereaboutsOf(stateAfter(...records), siteBook(), now);
    expect(where).toMatchObject({ left: null, finished: false, due: [], waits: [] });
    expect(where.done).toHaveLength(1);
  });
});

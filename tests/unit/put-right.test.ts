/** The list of what is to be put right: what stands on it, what leaves it, and the times that are offered. */
import { describe, expect, test } from 'vitest';
import { draft } from '../../src/domain/drafts.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asPairId, asRecordId, asStageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import { type PutRightItem, toPutRight } from '../../src/domain/put-right.ts';
import { settledBy, timeGiven } from '../../src/domain/put-right-drafts.ts';
import type { Settling } from '../../src/domain/put-right-settlings.ts';
import { typedTime } from '../../src/domain/put-right-typed.ts';
import { type LedgerRecord, PUT_RIGHT_KINDS, recordSchema } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  DSP,
  fullBook,
  handAt,
  INES,
  idOf,
  LAY,
  LAYING,
  MONDAY_8,
  NOBODYS_ID,
  PAIR,
  placed,
  RUTH,
  SITE,
  siteBook,
  spellOf,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

const at = (minutes: number) => MONDAY_8 + minutes * MINUTE_MS;
const TUESDAY_8 = MONDAY_8 + DAY_MS;
const TUESDAY_9 = TUESDAY_8 + HOUR_MS;
const LUNCH = { from: at(240), to: at(270) };
const shift = (from: number) =>
  oneShift('Day', from, from + 8 * HOUR_MS, [{ from: from + 4 * HOUR_MS, to: from + 4.5 * HOUR_MS }]);
const SHIFTS = [shift(MONDAY_8), shift(TUESDAY_8)];
const BOOK = siteBook({ shifts: SHIFTS });
const OTHER = asPairId('P030000Y');

const desk = handAt(DESK, RUTH);
const logged = desk.write('pair-logged', { at: at(-60) });

const list = (states: readonly PairState[], now = TUESDAY_9, book = BOOK, bench: LedgerRecord[] = []) =>
  toPutRight(states, bench, book, book.shifts, now);
const kindsOf = (items: readonly PutRightItem[]) => items.map(({ kind }) => kind);

function only(items: readonly PutRightItem[]): PutRightItem {
  const [item] = items;
  if (item === undefined || items.length !== 1) throw new Error(`${items.length} items, not one`);
  return item;
}

function timesOf(item: PutRightItem): Extract<Settling, { by: 'time' }> {
  const found = item.settlings.find((way) => way.by === 'time');
  if (found === undefined) throw new Error('no time can be given');
  return found;
}

const waysOf = ({ settlings }: PutRightItem) => settlings.map(({ by }) => by);

describe('still clocked in from before the shift', () => {
  const early = handAt(WELTING).write('clocked-in', { at: at(60) });
  const later = handAt(LAYING).write('clocked-in', { at: at(120) });
  const today = handAt(LAYING).write('clocked-in', { at: TUESDAY_8 });

  test('stands with who was on, where and since when, the oldest first', () => {
    const states = [stateAfter(logged, later), stateAfter(logged, early), stateAfter(logged, today)];
    const items = list(states);
    expect(
      items.map(({ kind, of, since, hand, bench, pair }) => [kind, of, since, hand, bench, pair]),
    ).toEqual([
      ['left-open', early.id, at(60), INES, WELTING, PAIR],
      ['left-open', later.id, at(120), INES, LAYING, PAIR],
    ]);
    expect(waysOf(items[0] as PutRightItem)).toEqual(['time', 'stands', 'take-back']);
  });

  test('is none while its shift runs, between shifts, or where the site has none', () => {
    const states = [stateAfter(logged, early)];
    expect(list(states, at(200))).toEqual([]);
    expect(list(states, MONDAY_8 + 20 * HOUR_MS)).toEqual([]);
    expect(list(states, TUESDAY_8 + 20 * HOUR_MS)).toHaveLength(1);
    expect(list(states, TUESDAY_9, siteBook())).toEqual([]);
  });

  test('leaves once a time is given, it has been looked into, or it is taken back', () => {
    const given = desk.write('time-given', { of: early.id, at: TUESDAY_9, to: at(90), outcome: 'done' });
    const unknown = desk.write('time-given', { of: early.id, at: TUESDAY_9, outcome: 'done' });
    const looked = desk.write('looked-into', { of: early.id, at: TUESDAY_9, what: 'left-open' });
    const back = desk.write('voided', { of: early.id, at: TUESDAY_9 });
    for (const word of [given, unknown, looked, back])
      expect(kindsOf(list([stateAfter(logged, early, word)])), word.kind).toEqual([]);
    const other = desk.write('looked-into', { of: early.id, at: TUESDAY_9, what: 'clock-doubtful' });
    expect(kindsOf(list([stateAfter(logged, early, other)]))).toEqual(['left-open']);
    // The word itself taken back, it is on the list again.
    const undo = desk.write('voided', { of: given.id, at: TUESDAY_9 + 1 });
    expect(kindsOf(list([stateAfter(logged, early, given, undo)]))).toEqual(['left-open']);
  });
});

describe('the times that are offered', () => {
  const bench = handAt(WELTING);
  const open = bench.write('clocked-in', { at: at(60) });
  const stateOf = (...records: readonly LedgerRecord[]) => stateAfter(logged, open, ...records);
  const offers = (states: readonly PairState[], told: LedgerRecord[] = []) =>
    timesOf(only(list(states, TUESDAY_9, BOOK, told).filter(({ of }) => of === open.id))).offers;

  test('are the next break and the end of that shift where no record tells more', () => {
    expect(offers([stateOf()])).toEqual([
      { is: 'break', at: LUNCH.from },
      { is: 'shift-end', at: MONDAY_8 + 8 * HOUR_MS },
    ]);
  });

  test('are the hand’s next scan on any pair or at any bench, and the pair’s next scan by anybody', () => {
    const elsewhere = handAt(LAYING, INES).write('clocked-in', { pair: OTHER, at: at(150) });
    const ended = handAt(LAYING, INES).write('clocked-out', { pair: OTHER, of: elsewhere.id, at: at(160) });
    const found = handAt(LAYING, TOMASZ).write('found-here', { at: at(200) });
    const other = foldPair(OTHER, placed([elsewhere, ended]));
    const told = offers([stateOf(found), other]);
    expect(told.slice(0, 2)).toEqual([
      { is: 'hand-next', at: at(150) },
      { is: 'pair-next', at: at(200) },
    ]);
    const off = handAt(DESK, INES).write('badged-off', { at: at(100) });
    expect(offers([stateOf(found), other], [off])[0]).toEqual({ is: 'hand-next', at: at(100) });
  });

  test('are no instants that nobody knows: none in the future, none twice, none before the work', () => {
    const sooner = handAt(LAYING, INES).write('clocked-in', { pair: OTHER, at: at(10) });
    const lunch = handAt(LAYING, TOMASZ).write('found-here', { at: LUNCH.from + 20_000 });
    const told = offers([stateOf(lunch), foldPair(OTHER, placed([sooner]))]);
    expect(told).toEqual([
      { is: 'pair-next', at: LUNCH.from + 20_000 },
      { is: 'shift-end', at: MONDAY_8 + 8 * HOUR_MS },
    ]);
    const night = [oneShift('Night', at(0), TUESDAY_9 + HOUR_MS), shift(TUESDAY_8)];
    const item = only(list([stateOf()], TUESDAY_9, siteBook({ shifts: night })));
    expect(timesOf(item).offers).toEqual([]);
  });

  test('of work that somebody said had ended are none after it was said', () => {
    const out = handAt(LAYING).write('clocked-out', { of: open.id, at: at(200), timed: false });
    const item = only(list([stateOf(out)]));
    expect([item.kind, timesOf(item).offers]).toEqual(['end-unknown', []]);
  });
});

describe('two that cannot both be so', () => {
  const first = handAt(WELTING, INES).write('clocked-in', { at: at(0) });
  const second = handAt(LAYING, TOMASZ).write('clocked-in', { at: at(30), stage: LAY });

  test('one pair at two benches stands once, with both, and leaves when the first is given an end before', () => {
    const item = only(list([stateAfter(logged, first, second)], at(60)));
    expect([item.kind, item.of, item.against.map(({ spell }) => spell.id)]).toEqual([
      'open-at-two-benches',
      second.id,
      [first.id],
    ]);
    expect(waysOf(item)).toEqual(['time', 'stands', 'take-back', 'take-back']);
    const given = desk.write('time-given', { of: first.id, at: at(60), to: at(20), outcome: 'done' });
    expect(list([stateAfter(logged, first, second, given)], at(70))).toEqual([]);
  });

  test('what ended at a time that nobody knows may have ended before: that alone is on the list', () => {
    const said = handAt(LAYING).write('clocked-out', { seq: 2, of: first.id, at: at(50), timed: false });
    expect(kindsOf(list([stateAfter(logged, first, second, said)], at(60)))).toEqual(['end-unknown']);
  });

  test('one hand at two benches, but not on the way from one to the next, and not where she is called over', () => {
    const other = (minute: number, by = INES) =>
      foldPair(
        OTHER,
        placed([handAt(LAYING, by).write('clocked-in', { pair: OTHER, at: at(minute), stage: LAY })]),
      );
    const mine = stateAfter(
      logged,
      first,
      handAt(WELTING, INES).write('clocked-out', { seq: 2, of: first.id, at: at(40) }),
    );
    const clash = list([mine, other(30)], at(60)).filter(({ kind }) => kind === 'hand-at-two-benches');
    expect(only(clash)).toMatchObject({ pair: OTHER, hand: INES, against: [{ pair: PAIR }] });
    const none = (minute: number, by = INES) =>
      kindsOf(list([mine, other(minute, by)], at(60))).includes('hand-at-two-benches');
    expect([none(39.5), none(41), none(30, TOMASZ)]).toEqual([false, false, false]);
  });

  test('at one bench a hand may have as many open as stand on the rack', () => {
    const other = handAt(WELTING, INES).write('clocked-in', { seq: 9, pair: OTHER, at: at(10) });
    const items = list([stateAfter(logged, first), foldPair(OTHER, placed([other]))], at(60));
    expect(kindsOf(items)).toEqual(['never-logged']);
  });
});

describe('out of order, by the site’s routes', () => {
  const book = fullBook({ shifts: SHIFTS });
  const stitching = asStageCode('STI');
  const withRoute = desk.write('pair-logged', { seq: 30, at: at(-30), route: 1, yes: 'given' });
  const work = handAt(WELTING).write('clocked-in', { at: at(0), stage: stitching });
  const done = handAt(WELTING).write('clocked-out', { seq: 2, of: work.id, at: at(20), stage: stitching });
  const items = (...more: readonly LedgerRecord[]) =>
    list([stateAfter(withRoute, work, done, ...more)], at(60), book).filter(
      ({ kind }) => kind === 'out-of-order',
    );

  test('names what has no record; saying that it was done or is not needed settles it', () => {
    const item = only(items());
    expect(item.stage).toBe(stitching);
    expect(item.missing.length).toBeGreaterThan(0);
    expect(waysOf(item)).toEqual(['done-unscanned', 'not-needed', 'stands', 'take-back']);
    for (const kind of ['done-unscanned', 'not-needed'] as const) {
      const words = item.missing.map((stage) => desk.write(kind, { stage, at: at(70) }));
      const rest = items(...words).flatMap(({ missing }) => missing);
      expect(
        rest.filter((stage) => item.missing.includes(stage)),
        kind,
      ).toEqual([]);
    }
  });

  test('is one matter however far the pair has gone since, and stays settled as it goes on', () => {
    const further = handAt(LAYING).write('clocked-in', { at: at(40), stage: stitching });
    const item = only(items(further));
    expect([item.of, item.records]).toEqual([work.id, [work.id, done.id, further.id]]);
    const looked = desk.write('looked-into', { of: item.of, what: 'out-of-order', at: at(50) });
    expect(items(looked, further)).toEqual([]);
  });

  test('is not what was begun before the owner was asked at all', () => {
    const strip = handAt(WELTING).write('clocked-in', { at: at(0), stage: asStageCode('PUL') });
    const yes = desk.write('pair-logged', { seq: 31, at: at(-30), route: 1, yes: 'given' });
    const asked = (minute: number) => desk.write('owner-asked', { seq: 32, at: at(minute) });
    const missingYes = (...records: readonly LedgerRecord[]) =>
      list([stateAfter(...records)], at(60), book)
        .flatMap(({ missing }) => missing)
        .includes(asStageCode('OWN'));
    expect(missingYes(yes, strip, asked(20))).toBe(false);
    expect(missingYes(yes, asked(-10), strip)).toBe(true);
  });

  test('is not what a named person let through, nor what is asked for again since', () => {
    const through = desk.write('let-through', { stage: stitching, at: at(-1) });
    expect(items(through)).toEqual([]);
    const before = only(items()).missing.map((stage) => desk.write('done-unscanned', { stage, at: at(-1) }));
    expect(items(...before)).toEqual([]);
    const [missing = stitching] = only(items()).missing;
    const back = handAt(LAYING).write('sent-back', { to: missing, shoe: 'both', at: at(40) });
    expect(items(...before, back)).toEqual([]);
  });
});

describe('what the fold finds odd', () => {
  const bench = handAt(WELTING);
  const clockIn = bench.write('clocked-in', { at: at(0) });
  const out = bench.write('clocked-out', { of: clockIn.id, at: at(20) });

  test('a ticket that was never logged is one matter, and its way is to log it', () => {
    const item = only(list([stateAfter(clockIn, out)], at(60)));
    expect([item.kind, waysOf(item)]).toEqual(['never-logged', ['log', 'stands']]);
    const looked = desk.write('looked-into', { of: item.of, what: 'never-logged', at: at(60) });
    // An earlier record that comes in late makes it no new matter.
    const late = handAt(LAYING).write('found-here', { at: at(-200) });
    expect(list([stateAfter(clockIn, out, looked, late)], at(70))).toEqual([]);
  });

  test('work with nobody badged on, an end without a beginning, an end twice', () => {
    const nobody = handAt(LAYING, null);
    const begun = nobody.write('clocked-in', { at: at(0) });
    const ended = nobody.write('clocked-out', { of: begun.id, at: at(10) });
    expect(kindsOf(list([stateAfter(logged, begun, ended)], at(60)))).toEqual(['no-hand']);
    const again = bench.write('clocked-out', { of: clockIn.id, at: at(25) });
    const twice = only(list([stateAfter(logged, clockIn, out, again)], at(60)));
    expect([twice.kind, twice.of, twice.spell?.id]).toEqual(['out-twice', again.id, clockIn.id]);
    const orphan = bench.write('clocked-out', { of: NOBODYS_ID, at: at(25) });
    expect(kindsOf(list([stateAfter(logged, orphan)], at(60)))).toEqual(['out-without-in']);
  });

  test('what is done and never scanned is no end that nobody knows: it has been said already', () => {
    expect(list([stateAfter(logged, desk.write('done-unscanned', { at: at(5) }))], at(60))).toEqual([]);
  });

  test('a bench whose own clock went back, of records that are about no pair', () => {
    const on = handAt(WELTING).write('badged-on', { seq: 7, at: at(30) });
    const off = handAt(WELTING).write('badged-off', { seq: 8, at: at(10) });
    const item = only(list([], at(60), BOOK, [off, on]));
    expect([item.kind, item.pair, item.of, waysOf(item)]).toEqual([
      'clock-doubtful',
      null,
      off.id,
      ['stands'],
    ]);
    const looked = desk.write('looked-into', { pair: null, of: off.id, what: 'clock-doubtful' });
    expect(list([], at(60), BOOK, [off, on, looked])).toEqual([]);
    const undo = desk.write('voided', { pair: null, of: looked.id });
    expect(list([], at(60), BOOK, [off, on, looked, undo])).toHaveLength(1);
  });
});

describe('the records that settle', () => {
  const clockIn = handAt(WELTING).write('clocked-in', { at: at(60) });
  const item = only(list([stateAfter(logged, clockIn)]));
  const making = {
    site: SITE,
    bench: DESK,
    by: RUTH,
    wall: { ms: TUESDAY_9, offsetMs: 0, known: true },
    newId: () => idOf(DESK, 77),
  };
  const reads = (made: ReturnType<typeof settledBy>) =>
    made.map(({ kind, said }) =>
      recordSchema.parse({ ...draft(making, kind, said as never), seq: 1, seen: '' }),
    );

  test('a time: with the outcome of what was open, and closing where the pair leaves with the stage', () => {
    const chosen = { from: null, to: at(90), outcome: 'done' as const };
    expect(reads(timeGiven(item, timesOf(item), chosen, DSP, 'Ines says so'))).toMatchObject([
      { kind: 'time-given', of: clockIn.id, to: at(90), outcome: 'done', closes: false, by: RUTH },
    ]);
    expect(timeGiven(item, timesOf(item), chosen, WLT, 'x')).toMatchObject([{ said: { closes: true } }]);
    const unfinished = { ...chosen, outcome: 'not-finished' as const };
    expect(timeGiven(item, timesOf(item), unfinished, WLT, 'x')).toMatchObject([{ said: { closes: false } }]);
  });

  test('a time for what is ended says no outcome, and what stays odd in the fold has been looked into', () => {
    const out = handAt(WELTING).write('clocked-out', { seq: 2, of: clockIn.id, at: at(80) });
    const twice = handAt(WELTING).write('clocked-out', { seq: 3, of: clockIn.id, at: at(85) });
    const odd = only(list([stateAfter(logged, clockIn, out, twice)]));
    const chosen = { from: at(60), to: at(85), outcome: 'done' as const };
    const made = reads(timeGiven(odd, timesOf(odd), chosen, DSP, 'the later is right'));
    expect(made).toMatchObject([
      { kind: 'time-given', outcome: null, from: at(60), to: at(85) },
      { kind: 'looked-into', of: twice.id, what: 'out-twice' },
    ]);
    const settled = made.map((record, index) => ({ ...record, seq: 50 + index, id: idOf(DESK, 50 + index) }));
    expect(list([stateAfter(logged, clockIn, out, twice, ...settled)])).toEqual([]);
  });

  test.each([
    ['stands', { by: 'stands' }, [{ kind: 'looked-into', of: clockIn.id, what: 'left-open' }]],
    [
      'take back',
      { by: 'take-back', pair: PAIR, spell: null, of: [asRecordId(NOBODYS_ID), clockIn.id] },
      [
        { kind: 'voided', of: NOBODYS_ID },
        { kind: 'voided', of: clockIn.id },
      ],
    ],
    [
      'done, not scanned',
      { by: 'done-unscanned', pair: PAIR, stages: [WLT, LAY], shoe: 'left' },
      [
        { kind: 'done-unscanned', stage: WLT, shoe: 'left' },
        { kind: 'done-unscanned', stage: LAY, shoe: 'left' },
      ],
    ],
    ['not needed', { by: 'not-needed', pair: PAIR, stages: [LAY] }, [{ kind: 'not-needed', stage: LAY }]],
    ['log', { by: 'log', pair: PAIR }, []],
  ] as const)('%s', (_, settling, records) => {
    expect(reads(settledBy(item, settling, 'looked at'))).toMatchObject(records);
  });

  test('a spell is taken back whole, its end before its beginning', () => {
    const given = desk.write('time-given', { of: clockIn.id, at: TUESDAY_9, to: at(30), outcome: 'done' });
    const state = stateAfter(logged, clockIn, given);
    const odd = only(list([state]));
    expect([odd.kind, spellOf(state, clockIn).timed]).toEqual(['time-backwards', false]);
    const left = only(list([stateAfter(logged, clockIn)]));
    expect(left.settlings.find(({ by }) => by === 'take-back')).toMatchObject({ of: [clockIn.id] });
  });
});

/** Europe/London goes back on 25 October 2026 at 02:00 and forward on 29 March 2026 at 01:00 (IANA tz database). */
describe('a time as somebody types it', () => {
  test.each([
    ['2026-11-02', '09:30', { is: 'at', at: at(90) }],
    [
      '2026-10-25',
      '01:30',
      { is: 'twice', first: Date.UTC(2026, 9, 25, 0, 30), second: Date.UTC(2026, 9, 25, 1, 30) },
    ],
    ['2026-03-29', '01:30', { is: 'never' }],
    ['2026-03-29', '02:30', { is: 'at', at: Date.UTC(2026, 2, 29, 1, 30) }],
    ['2026-02-31', '09:00', { is: 'unreadable' }],
    ['', '09:00', { is: 'unreadable' }],
    ['2026-11-02', '', { is: 'unreadable' }],
    ['2026-11-02', '24:00', { is: 'unreadable' }],
  ])('%s %s', (day, time, read) => {
    expect(typedTime('Europe/London', day, time)).toEqual(read);
  });
});

test('every kind that can be looked into is in the record’s own list, once', () => {
  expect(new Set(PUT_RIGHT_KINDS).size).toBe(PUT_RIGHT_KINDS.length);
});

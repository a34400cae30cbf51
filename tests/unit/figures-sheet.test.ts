import { describe, expect, test } from 'vitest';
import type { ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import { presencesOf } from '../../src/domain/figures/attendance.ts';
import { factsOf } from '../../src/domain/figures/facts-of.ts';
import { total } from '../../src/domain/figures/member.ts';
import { membersOf } from '../../src/domain/figures/members-of.ts';
import type { ShiftSheet } from '../../src/domain/figures/sheet.ts';
import { shiftSheet } from '../../src/domain/figures/sheet-of.ts';
import type { BenchId, OperativeId, PairId, StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord, RecordKind } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  type Hand,
  handAt,
  INES,
  LAYING,
  MONDAY_8,
  placed,
  RUTH,
  TOMASZ,
  type Told,
  WELTING,
} from '../support/builders.ts';
import { CLN, DSP, figureBook, HBL, LAY, PAIRS, WLT } from '../support/figure-histories.ts';

const [P1, P2, P3] = PAIRS as unknown as readonly [PairId, PairId, PairId];
const DAY: ShiftSpan = {
  name: 'Day',
  day: '2026-11-02',
  from: clock('8:00'),
  to: clock('16:00'),
  breaks: [{ from: clock('12:00'), to: clock('12:30') }],
  overtime: false,
};
const NEXT: ShiftSpan = {
  ...DAY,
  day: '2026-11-03',
  from: DAY.from + DAY_MS,
  to: DAY.to + DAY_MS,
  breaks: DAY.breaks.map(({ from, to }) => ({ from: from + DAY_MS, to: to + DAY_MS })),
};

function clock(text: string, days = 0): Instant {
  const [hours = 0, minutes = 0] = text.split(':').map(Number);
  return MONDAY_8 + days * DAY_MS + (hours - 8) * HOUR_MS + minutes * MINUTE_MS;
}

/** A works that writes what it is told, at the times it is told. */
function works() {
  const records: LedgerRecord[] = [];
  const hands = new Map<string, Hand>();
  const seqs = new Map<BenchId, number>();
  const write = <Kind extends RecordKind>(
    at: Instant,
    kind: Kind,
    told: Told<Kind>,
    by: OperativeId = INES,
    bench: BenchId = WELTING,
  ) => {
    const hand = hands.get(`${bench} ${by}`) ?? handAt(bench, by);
    hands.set(`${bench} ${by}`, hand);
    const seq = (seqs.get(bench) ?? 0) + 1;
    seqs.set(bench, seq);
    const record = hand.write(kind, { ...told, at, seq } as Told<Kind>);
    records.push(record);
    return record;
  };
  const log = (...pairs: readonly PairId[]) => {
    for (const pair of pairs)
      write(clock('7:00'), 'pair-logged', { pair, promised: '2026-11-01' }, RUTH, DESK);
  };
  const spell = (
    pair: PairId,
    stage: StageCode,
    from: Instant,
    to: Instant | null,
    more: { by?: OperativeId; bench?: BenchId; shoe?: 'left' | 'right'; timed?: boolean } = {},
  ) => {
    const { by, bench, shoe = 'both', timed = true } = more;
    const begun = write(from, 'clocked-in', { pair, stage, shoe }, by, bench);
    if (to !== null)
      write(to, 'clocked-out', { pair, stage, of: begun.id, timed, closes: stage === DSP }, by, bench);
    return begun;
  };
  const sheet = (shift = DAY, at = shift.to): ShiftSheet =>
    shiftSheet({
      shift,
      at,
      shifts: [DAY, NEXT],
      facts: PAIRS.flatMap((pair) => {
        const own = placed(records).filter(({ record }) => 'pair' in record && record.pair === pair);
        return factsOf(pair, own, figureBook) ?? [];
      }),
      attendance: records,
      book: figureBook,
      lookBack: { from: clock('0:00'), to: at },
    });
  return { records, write, log, spell, sheet };
}

const stageOf = (sheet: ShiftSheet, stage: StageCode) => {
  const found = sheet.stages.find((one) => one.stage === stage);
  if (found === undefined) throw new Error(`no figures of ${stage}`);
  return found;
};
const handOf = (sheet: ShiftSheet, hand: OperativeId) => sheet.hands.find((one) => one.hand === hand);
const minutes = (ms: number | null | undefined) => (ms ?? Number.NaN) / MINUTE_MS;

describe('touch time', () => {
  test('leaves out the break', () => {
    const { log, spell, sheet } = works();
    log(P1);
    spell(P1, CLN, clock('11:50'), clock('12:40'));
    expect(minutes(stageOf(sheet(), CLN).touch.median)).toBe(20);
  });

  test('of a rack of three is shared: each gets its part at each instant, and the hand no more than passed', () => {
    const { log, spell, sheet } = works();
    log(P1, P2, P3);
    spell(P1, CLN, clock('9:00'), clock('9:30'));
    spell(P2, CLN, clock('9:00'), clock('9:50'));
    spell(P3, CLN, clock('9:00'), clock('10:00'));
    const { touch } = stageOf(sheet(), CLN);
    expect(touch.members.map(({ ms }) => minutes(ms))).toEqual([10, 20, 30]);
    expect(minutes(handOf(sheet(), INES)?.touchMs)).toBe(60);
  });

  test('of what is still open is none yet: nobody knows how long it will be', () => {
    const { log, spell, sheet } = works();
    log(P1);
    spell(P1, CLN, clock('9:00'), null);
    expect(sheet(DAY, clock('10:00')).hands).toEqual([]);
  });

  test('of two hands at one pair is each one’s own', () => {
    const { log, spell, write, sheet } = works();
    log(P1);
    const begun = spell(P1, CLN, clock('9:00'), null);
    write(clock('9:10'), 'hand-joined', { pair: P1, of: begun.id, hand: TOMASZ, as: 'beside' });
    write(clock('9:30'), 'clocked-out', { pair: P1, stage: CLN, of: begun.id });
    expect(minutes(stageOf(sheet(), CLN).touch.median)).toBe(50);
    expect(minutes(handOf(sheet(), INES)?.touchMs)).toBe(30);
    expect(minutes(handOf(sheet(), TOMASZ)?.touchMs)).toBe(20);
    expect(handOf(sheet(), TOMASZ)?.stages.map(({ stage, out }) => [stage, total(out)])).toEqual([[CLN, 1]]);
  });

  test('of an end that nobody knows is none, and takes none from others', () => {
    const { log, spell, sheet } = works();
    log(P1, P2);
    spell(P1, CLN, clock('9:00'), clock('15:00'), { timed: false });
    spell(P2, CLN, clock('9:00'), clock('10:00'));
    const { touch, endUnknown } = stageOf(sheet(), CLN);
    expect(touch.members.map(({ pair, ms }) => [pair, minutes(ms)])).toEqual([[P2, 60]]);
    expect(endUnknown.map(({ pair }) => pair)).toEqual([P1]);
  });

  test('of a spell open from one shift into the next leaves the night out', () => {
    const { log, spell, sheet } = works();
    log(P1);
    spell(P1, CLN, clock('15:30'), clock('8:20', 1));
    expect(minutes(stageOf(sheet(NEXT), CLN).touch.median)).toBe(50);
    expect(minutes(handOf(sheet(NEXT), INES)?.touchMs)).toBe(20);
    expect(minutes(handOf(sheet(), INES)?.touchMs)).toBe(30);
  });
});

describe('what a stage put through', () => {
  test('counts a shoe as half and a pair once, however often it was worked', () => {
    const { log, spell, sheet } = works();
    log(P1, P2);
    spell(P1, CLN, clock('9:00'), clock('9:10'), { shoe: 'left' });
    spell(P2, CLN, clock('9:20'), clock('9:30'));
    spell(P2, CLN, clock('9:40'), clock('9:50'));
    const figures = stageOf(sheet(), CLN);
    expect([total(figures.in), total(figures.out), figures.out.length]).toEqual([1.5, 1.5, 2]);
    expect(figures.out[1]?.records).toHaveLength(2);
  });

  test('loses its first pass when it is sent back, be it days later, shoe by shoe; what is only done again keeps it', () => {
    const { log, spell, write, sheet } = works();
    log(P1);
    spell(P1, WLT, clock('9:00'), clock('9:30'));
    spell(P1, LAY, clock('10:00'), clock('10:30'));
    expect(total(stageOf(sheet(), WLT).firstPass)).toBe(1);
    write(clock('9:00', 3), 'sent-back', {
      pair: P1,
      from: DSP,
      to: WLT,
      shoe: 'left',
      again: [{ stage: LAY, shoe: 'both' }],
    });
    expect(total(stageOf(sheet(), WLT).out)).toBe(1);
    expect(total(stageOf(sheet(), WLT).firstPass)).toBe(0.5);
    expect(total(stageOf(sheet(), LAY).firstPass)).toBe(1);
    expect(sheet().line.rolledYield).toBe(0.5);
    expect(total(stageOf(sheet(), WLT).sentBackTo)).toBe(0);
  });

  test('counts done unscanned as out when it was said, and not as in', () => {
    const { log, write, sheet } = works();
    log(P1);
    write(clock('10:00'), 'done-unscanned', { pair: P1, stage: HBL });
    const figures = stageOf(sheet(), HBL);
    expect([total(figures.in), total(figures.out), total(figures.endUnknown)]).toEqual([0, 1, 1]);
    expect(figures.touch.members).toEqual([]);
  });

  test('of the shift’s last instant belongs to the next shift', () => {
    const { log, spell, sheet } = works();
    log(P1);
    spell(P1, CLN, clock('15:00'), clock('16:00'));
    expect([total(stageOf(sheet(), CLN).in), total(stageOf(sheet(), CLN).out)]).toEqual([1, 0]);
  });
});

describe('how a stage stands', () => {
  test('while the shift runs, what is open is in work; once it is over, its end is not known', () => {
    const { log, spell, sheet } = works();
    log(P1, P2);
    spell(P1, CLN, clock('9:00'), null);
    const running = stageOf(sheet(DAY, clock('10:00')), CLN);
    expect([total(running.working), total(running.endUnknown)]).toEqual([1, 0]);
    const over = stageOf(sheet(), CLN);
    expect([total(over.working), total(over.endUnknown)]).toEqual([0, 1]);
    const next = stageOf(sheet(NEXT, clock('10:00', 1)), CLN);
    expect([total(next.working), total(next.endUnknown)]).toEqual([0, 1]);
    expect(over.waiting.map(({ pair, ms }) => [pair, minutes(ms)])).toEqual([[P2, 540]]);
    expect(over.oldest).toEqual({ pair: P2, since: clock('7:00') });
  });

  test('how long was waited includes nights', () => {
    const { log, spell, sheet } = works();
    log(P1);
    spell(P1, CLN, clock('9:00', 1), clock('9:10', 1));
    expect(minutes(stageOf(sheet(NEXT), CLN).wait.median)).toBe(26 * 60);
  });

  test('which stage holds the line back: where the most work waits, not the most pairs', () => {
    const { log, spell, sheet } = works();
    log(P1, P2, P3);
    spell(P1, CLN, clock('9:00'), clock('9:10'));
    spell(P2, CLN, clock('9:20'), clock('9:30'));
    spell(P1, WLT, clock('9:30'), clock('10:00'));
    // One waits for its welt, which takes half an hour, one for cleaning, which takes ten minutes; and two wait for their
    // heels, and nobody knows how long those take.
    expect(sheet().line.holdsBack).toMatchObject({ stage: WLT, waiting: 1, queueMs: 30 * MINUTE_MS });
    spell(P1, HBL, clock('13:00'), clock('14:00'));
    expect(sheet().line.holdsBack).toMatchObject({ stage: HBL, waiting: 1, queueMs: 60 * MINUTE_MS });
  });
});

describe('attendance', () => {
  const spans = (records: readonly LedgerRecord[]) =>
    presencesOf(records, [DAY, NEXT]).map(({ hand, bench, from, to }) => [
      hand,
      bench,
      minutes(from - MONDAY_8),
      minutes(to - MONDAY_8),
    ]);
  const at = (text: string, days = 0) => minutes(clock(text, days) - MONDAY_8);

  test('ends with the badge, with another’s badge at the bench, and with one’s own at another bench', () => {
    const { records, write } = works();
    write(clock('8:00'), 'badged-on', {});
    write(clock('9:00'), 'badged-off', { why: 'badge' });
    write(clock('9:30'), 'badged-on', {});
    write(clock('10:00'), 'badged-on', {}, TOMASZ);
    write(clock('11:00'), 'badged-on', {}, TOMASZ, LAYING);
    expect(spans(records)).toEqual([
      [INES, WELTING, at('8:00'), at('9:00')],
      [INES, WELTING, at('9:30'), at('10:00')],
      [TOMASZ, WELTING, at('10:00'), at('11:00')],
      [TOMASZ, LAYING, at('11:00'), at('16:00')],
    ]);
  });

  test('ends with the shift where nobody badged off, whatever badges off the bench next morning', () => {
    const { records, write } = works();
    write(clock('7:45'), 'badged-on', {});
    write(clock('8:00', 1), 'badged-off', { why: 'hand-over' }, TOMASZ);
    write(clock('8:01', 1), 'badged-on', {}, TOMASZ);
    expect(spans(records)).toEqual([
      [INES, WELTING, at('7:45'), at('16:00')],
      [TOMASZ, WELTING, at('8:01', 1), at('16:00', 1)],
    ]);
  });

  test('goes on after the shift for whoever badges off after it, and counts within the shift alone', () => {
    const { records, write, sheet } = works();
    write(clock('7:50'), 'badged-on', {});
    write(clock('16:40'), 'badged-off', { why: 'badge' });
    expect(spans(records)).toEqual([[INES, WELTING, at('7:50'), at('16:40')]]);
    expect(minutes(handOf(sheet(), INES)?.onMs)).toBe(8 * 60 - 30);
  });

  test('is what a badge that was taken back does not begin', () => {
    const { records, write } = works();
    const on = write(clock('8:00'), 'badged-on', {});
    write(clock('8:01'), 'voided', { pair: null, of: on.id });
    expect(spans(records)).toEqual([]);
  });

  test('counts work after the bench has badged its hand off; utilisation is touch time over it', () => {
    const { log, write, spell, sheet } = works();
    log(P1);
    write(clock('8:00'), 'badged-on', {});
    write(clock('10:00'), 'badged-off', { why: 'quiet' });
    spell(P1, WLT, clock('9:00'), clock('11:00'));
    expect(minutes(handOf(sheet(), INES)?.onMs)).toBe(180);
    expect(stageOf(sheet(), WLT).utilisation).toBeCloseTo(120 / 180, 12);
    expect(stageOf(sheet(), HBL).utilisation).toBeNull();
  });
});

describe('the line and its pairs', () => {
  test('a pair that left and came back was boxed then and is in the works now', () => {
    const { log, spell, write, sheet } = works();
    log(P1, P2);
    spell(P1, DSP, clock('9:00'), clock('9:10'));
    write(clock('11:00'), 'handed-back', { pair: P2 });
    write(clock('9:00', 1), 'sent-back', { pair: P1, from: DSP, to: LAY, shoe: 'both' });
    expect(
      [sheet().line.boxed, sheet().line.handedBack].map((members) => members.map(({ pair }) => pair)),
    ).toEqual([[P1], [P2]]);
    expect(sheet().line.inWork).toEqual([]);
    expect(sheet(NEXT).line.inWork.map(({ pair }) => pair)).toEqual([P1]);
    expect(sheet().pairs.map(({ pair, leadMs, daysLate }) => [pair, minutes(leadMs), daysLate])).toEqual([
      [P1, 130, 1],
      [P2, 240, 1],
    ]);
  });

  test('days late are days on the wall: half past eleven at night UTC is the day after in a British summer', () => {
    const night = { ...DAY, day: '2026-07-01', from: Date.parse('2026-07-01T22:00Z'), breaks: [] };
    const { write, spell, sheet } = works();
    write(night.from, 'pair-logged', { pair: P1, promised: '2026-07-01' }, RUTH, DESK);
    spell(P1, DSP, night.from + HOUR_MS, night.from + 1.5 * HOUR_MS);
    const shift = { ...night, to: night.from + 6 * HOUR_MS };
    expect(sheet(shift).pairs.map(({ daysLate }) => daysLate)).toEqual([1]);
  });

  test('times put right are listed, and open like every number', () => {
    const { log, spell, write, sheet } = works();
    log(P1);
    const begun = spell(P1, CLN, clock('9:00'), clock('15:00'), { timed: false });
    const given = write(
      clock('15:10'),
      'time-given',
      { pair: P1, of: begun.id, to: clock('9:40') },
      RUTH,
      DESK,
    );
    const made = sheet();
    expect(made.amended).toEqual([{ pair: P1, record: given.id }]);
    expect(membersOf(made, 'amended', null)?.[0]?.records).toEqual([given.id]);
    expect(membersOf(made, 'touch', CLN)?.map(({ ms, records }) => [minutes(ms), records.length])).toEqual([
      [40, 3],
    ]);
    expect(membersOf(made, 'hand-touch', INES)?.map(({ ms }) => minutes(ms))).toEqual([40]);
    expect(membersOf(made, 'pair-touch', P1)?.map(({ ms }) => minutes(ms))).toEqual([40]);
    expect(membersOf(made, 'hand-out', 'nobody')).toBeNull();
    expect(membersOf(made, 'in-work', null)?.map(({ pair }) => pair)).toEqual([P1]);
  });
});

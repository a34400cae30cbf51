/**
 * Some hours of a small factory for the figures: three hands, three benches, three pairs, every instant a whole minute,
 * so that whoever counts minute by minute counts exactly. The clocks of the benches are right and no two benches write
 * in the same minute, so the order of the records is that of their instants.
 */
import fc from 'fast-check';
import type { Calendar, ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import type { PairId, StageCode } from '../../src/domain/ids.ts';
import { asBenchId, asPairId, asStageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import { JOBS, type LedgerRecord, type Shoe } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { type Hand, handAt, INES, RUTH, siteBook, TOMASZ } from './builders.ts';

export const PAIRS: readonly PairId[] = ['P7K4292W', 'P7K4293T', 'P7K4294R'].map(asPairId);
const HANDS = [INES, TOMASZ, RUTH];
const BENCHES = ['bench-a', 'bench-b', 'bench-c'].map(asBenchId);
const SHOES: readonly Shoe[] = ['both', 'both', 'both', 'left', 'right'];

export const CLN = asStageCode('CLN');
export const OWN = asStageCode('OWN');
export const WLT = asStageCode('WLT');
export const INT = asStageCode('INT');
export const LAY = asStageCode('LAY');
export const HBL = asStageCode('HBL');
export const DSP = asStageCode('DSP');
/** The heel is built beside the main line; the inseam is trimmed where somebody asks for it. */
export const NEEDS: readonly (readonly [StageCode, StageCode])[] = [
  [OWN, CLN],
  [WLT, OWN],
  [INT, WLT],
  [LAY, INT],
  [HBL, CLN],
  [DSP, LAY],
  [DSP, HBL],
];
export const IF_NEEDED: readonly StageCode[] = [INT];
export const STAGES: readonly StageCode[] = [CLN, OWN, WLT, INT, LAY, HBL, DSP];
const WORKED = STAGES.filter((stage) => stage !== OWN);

/** Stages of the route that each bench of the book is set to. */
export const BENCH_STAGES: readonly (readonly StageCode[])[] = [[CLN, HBL], [WLT, INT], [LAY]];

export const figureBook: SiteBook = siteBook({
  timeZone: 'Europe/London',
  closingStage: DSP,
  stages: STAGES.map((code) => ({
    code,
    name: code,
    plain: code,
    machine: false,
    reminds: false,
    settles: null,
  })),
  routes: [
    {
      version: 1,
      since: 0,
      steps: STAGES.map((stage) => ({
        stage,
        need: JOBS.map(() => (IF_NEEDED.includes(stage) ? ('if-needed' as const) : ('always' as const))),
      })),
      needs: NEEDS.map(([stage, needs]) => ({ stage, needs, kind: 'hard' as const })),
    },
  ],
  ways: {
    receive: null,
    inspect: null,
    owner: OWN,
    lastFrom: null,
    lastTo: null,
    check: null,
    box: null,
    together: [],
    colour: [],
  },
  benches: BENCHES.map((bench, index) => ({ bench, name: bench, stages: [...(BENCH_STAGES[index] ?? [])] })),
});

/** Early, late and night with breaks; late and night overlap, and one of them works through the other's break. */
const calendar: Calendar = {
  versions: [
    {
      since: null,
      rules: [
        {
          name: 'Early',
          days: [1, 2, 3, 4, 5, 6, 7],
          from: '06:00',
          to: '14:00',
          breaks: [
            { from: '09:00', to: '09:15' },
            { from: '12:00', to: '12:30' },
          ],
        },
        {
          name: 'Late',
          days: [1, 2, 3, 4, 5, 6, 7],
          from: '14:30',
          to: '22:30',
          breaks: [
            { from: '18:00', to: '18:30' },
            { from: '22:10', to: '22:20' },
          ],
        },
        {
          name: 'Night',
          days: [1, 2, 3, 4, 5, 6, 7],
          from: '22:00',
          to: '05:30',
          breaks: [{ from: '01:15', to: '02:45' }],
        },
      ],
    },
  ],
  shut: [],
  overtime: [],
};

/** An ordinary day, a night over midnight, and the two nights of 2026 on which British clocks change. */
const SHIFTS_SEEN = [
  '2026-11-03T06:00Z',
  '2026-11-03T14:30Z',
  '2026-11-03T22:00Z',
  '2026-03-28T22:00Z',
  '2026-10-24T21:00Z',
].map((text) => Date.parse(text));

function shiftsAround(begins: Instant): Pick<FigureHistory, 'shift' | 'shifts'> {
  const shifts = shiftsBetween(calendar, 'Europe/London', begins - DAY_MS, begins + DAY_MS);
  const shift = shifts.find(({ from }) => from === begins);
  if (shift === undefined) throw new Error('no such shift in the calendar');
  return { shift, shifts };
}

const SHIFTS = new Map(SHIFTS_SEEN.map((begins) => [begins, shiftsAround(begins)]));

/** How long before the shift the records begin; they go on for as long as they go. */
export const BEFORE_MS = 5 * HOUR_MS;

const DEEDS = [
  'in',
  'out',
  'untimed',
  'rack-in',
  'rack-out',
  'join',
  'unscanned',
  'aside',
  'up',
  'back',
  'part',
  'rejoin',
  'ask-owner',
  'answer',
  'stop',
  'release',
  'ask-stage',
  'drop-stage',
  'hand-back',
  'give',
  'void',
  'badge-on',
  'badge-off',
] as const;
type Deed = (typeof DEEDS)[number];

interface Act {
  readonly deed: Deed;
  readonly bench: number;
  readonly minutes: number;
  readonly pick: number;
}

export interface FigureHistory {
  readonly records: readonly LedgerRecord[];
  readonly shift: ShiftSpan;
  readonly shifts: readonly ShiftSpan[];
  readonly at: Instant;
}

interface Bench {
  readonly hands: readonly Hand[];
  seq: number;
  on: number;
}

/** A bench whose hands come and go writes one sequence. */
function benchAt(index: number): Bench {
  const bench = BENCHES[index] ?? asBenchId('bench-x');
  return { hands: HANDS.map((hand) => handAt(bench, hand)), seq: 0, on: index };
}

function play(acts: readonly Act[], begins: Instant, ends: number): FigureHistory {
  const { shift, shifts } = SHIFTS.get(begins) ?? shiftsAround(begins);
  const benches = BENCHES.map((_, index) => benchAt(index));
  const records: LedgerRecord[] = [];
  let now = begins - BEFORE_MS;
  const write: Hand['write'] = (kind, told = {}) => {
    const bench = benches[turn % benches.length] ?? benchAt(0);
    const hand = bench.hands[bench.on];
    if (hand === undefined) throw new Error('nobody is on');
    bench.seq += 1;
    const record = hand.write(kind, { at: now, seq: bench.seq, ...told });
    records.push(record);
    return record;
  };
  let turn = 0;
  for (const [index, pair] of PAIRS.entries()) {
    now += MINUTE_MS;
    write('pair-logged', { pair, yes: index === 0 ? 'to-ask' : 'not-wanted', promised: '2026-11-01' });
  }
  for (const act of acts) {
    now += act.minutes * MINUTE_MS;
    turn = act.bench;
    const bench = benches[turn % benches.length];
    if (bench !== undefined) perform(act, { records, now, write, bench });
  }
  const at = ends >= 1 ? shift.to : wholeMinute(shift.from + ends * (shift.to - shift.from));
  return { records, shift, shifts, at: Math.max(at, shift.from + MINUTE_MS) };
}

function wholeMinute(at: number): Instant {
  return Math.floor(at / MINUTE_MS) * MINUTE_MS;
}

interface Scene {
  readonly records: readonly LedgerRecord[];
  readonly now: Instant;
  readonly write: Hand['write'];
  readonly bench: Bench;
}

function perform({ deed, pick }: Act, { records, now, write, bench }: Scene): void {
  const one = <Item>(list: readonly Item[], turn = pick): Item | undefined => list[turn % list.length];
  const ofKind = <Kind extends LedgerRecord['kind']>(kind: Kind) =>
    records.filter((record): record is Extract<LedgerRecord, { kind: Kind }> => record.kind === kind);
  const pair = one(PAIRS) ?? asPairId('P7K4292W');
  const stage = one(WORKED, pick >> 2) ?? WLT;
  const shoe = one(SHOES, pick >> 4) ?? 'both';
  const ended = new Set(ofKind('clocked-out').map(({ of }) => of));
  const open = ofKind('clocked-in').filter(({ id }) => !ended.has(id));
  const out = (spell: (typeof open)[number], timed: boolean) => {
    const outcome = pick % 4 === 0 ? ('not-finished' as const) : ('done' as const);
    const { pair: of, stage: there } = spell;
    write('clocked-out', { pair: of, stage: there, of: spell.id, outcome, timed, closes: there === DSP });
  };
  switch (deed) {
    case 'in':
      write('clocked-in', { pair, stage, shoe });
      break;
    case 'out':
    case 'untimed': {
      // Now and then what has ended is ended again.
      const spell = one(pick % 9 === 0 ? ofKind('clocked-in') : open, pick >> 2);
      if (spell !== undefined) out(spell, deed === 'out');
      break;
    }
    case 'rack-in':
      for (const each of PAIRS) write('clocked-in', { pair: each, stage, shoe });
      break;
    case 'rack-out':
      for (const spell of open.filter((each) => each.bench === one(BENCHES))) out(spell, true);
      break;
    case 'join': {
      const spell = one(pick % 3 === 0 ? ofKind('clocked-in') : open, pick >> 2);
      const as = pick % 4 === 0 ? ('answers' as const) : ('beside' as const);
      const hand = one(HANDS, pick >> 3) ?? INES;
      if (spell !== undefined) write('hand-joined', { pair: spell.pair, of: spell.id, hand, as });
      break;
    }
    case 'unscanned':
      write('done-unscanned', { pair, stage, shoe });
      break;
    case 'aside':
      write('set-aside', { pair, stage });
      break;
    case 'up':
      write('taken-up', { pair });
      break;
    case 'back': {
      const again = pick % 2 === 0 ? [{ stage: LAY, shoe: 'both' as const }] : [];
      write('sent-back', { pair, from: one(WORKED, pick >> 5) ?? LAY, to: stage, shoe, again });
      break;
    }
    case 'part':
      write('parted', { pair, shoe: pick % 2 === 0 ? 'left' : 'right' });
      break;
    case 'rejoin':
      write('rejoined', { pair });
      break;
    case 'ask-owner':
      write('owner-asked', { pair });
      break;
    case 'answer':
      write('owner-answered', { pair, answer: pick % 5 === 0 ? 'stop' : 'go-on', promised: '2026-10-20' });
      break;
    case 'stop':
      write('noted', { pair, weight: 'stop' });
      break;
    case 'release': {
      const note = one(ofKind('noted'), pick >> 2);
      if (note === undefined) break;
      if (pick % 2 === 0) write('note-released', { pair: note.pair, note: note.id });
      else write('note-cured', { pair: note.pair, note: note.id, stage });
      break;
    }
    case 'ask-stage':
      write('stage-asked', { pair, stages: [pick % 2 === 0 ? INT : stage] });
      break;
    case 'drop-stage':
      write('not-needed', { pair, stage });
      break;
    case 'hand-back':
      write('handed-back', { pair });
      break;
    case 'give': {
      const unscanned = ofKind('done-unscanned');
      const begun: readonly Extract<LedgerRecord, { kind: 'clocked-in' | 'done-unscanned' }>[] =
        pick % 5 === 0 && unscanned.length > 0 ? unscanned : ofKind('clocked-in');
      const spell = one(begun, pick >> 2);
      if (spell === undefined) break;
      const from = pick % 3 === 0 ? null : now - (pick % 170) * MINUTE_MS;
      const to = pick % 4 === 0 ? null : (from ?? spell.at) + ((pick >> 3) % 90) * MINUTE_MS - 5 * MINUTE_MS;
      const outcome = one([null, 'done', 'not-finished'] as const, pick >> 1) ?? null;
      write('time-given', { pair: spell.pair, of: spell.id, from, to, outcome, closes: spell.stage === DSP });
      break;
    }
    case 'void': {
      const taken = one(records.filter(({ kind }) => kind !== 'pair-logged'));
      if (taken === undefined) break;
      write('voided', { of: taken.id, pair: 'pair' in taken ? taken.pair : null });
      break;
    }
    case 'badge-on':
      bench.on = pick % HANDS.length;
      write('badged-on');
      break;
    case 'badge-off':
      write('badged-off', { why: one(['badge', 'hand-over', 'quiet'] as const) ?? 'badge' });
      break;
  }
}

const act = fc.record<Act>({
  deed: fc.oneof(
    { weight: 5, arbitrary: fc.constantFrom<Deed>('in', 'out', 'out', 'rack-in', 'rack-out', 'badge-on') },
    { weight: 3, arbitrary: fc.constantFrom(...DEEDS) },
  ),
  bench: fc.nat(2),
  minutes: fc.integer({ min: 1, max: 25 }),
  pick: fc.nat(2_000),
});

/** The sheet is asked for at the shift's end, or at some moment while it runs. */
export const figureHistories: fc.Arbitrary<FigureHistory> = fc
  .tuple(
    fc.array(act, { maxLength: 80, size: 'max' }),
    fc.constantFrom(...SHIFTS_SEEN),
    fc.oneof(fc.constant(1), fc.double({ min: 0, max: 1, noNaN: true })),
  )
  .map(([acts, begins, ends]) => play(acts, begins, ends));

/**
 * Histories of one pair for property tests, in two tempers. An *honest* one is played by benches that write,
 * push and pull as tablets do, each with a clock that is off by its own amount. A *wild* one is any heap of
 * records at all: sequences used twice, rings of names and «seen», references to nothing.
 */
import fc from 'fast-check';
import { CURSOR_START } from '../../src/domain/cursor.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { asBenchId, type RecordId } from '../../src/domain/ids.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import { HURDLES, type LedgerRecord, OWNER_ANSWERS, WEIGHTS } from '../../src/domain/record/kinds.ts';
import {
  EPOCH,
  type Hand,
  handAt,
  INES,
  idOf,
  LAY,
  MONDAY_8,
  NOBODYS_ID,
  RACK,
  RUTH,
  seenUpTo,
  TOMASZ,
  WLT,
} from './builders.ts';

const BENCHES = ['bench-a', 'bench-b', 'bench-c'].map(asBenchId);
const HANDS = [INES, TOMASZ, RUTH];
const STAGES = [WLT, LAY];
const SHOES = ['both', 'left', 'right'] as const;
const RACKS = [RACK, 'R0000001'];

const DEEDS = [
  'log',
  'amend',
  'ask-owner',
  'owner-says',
  'picture',
  'reprint',
  'hand-back',
  'in',
  'out',
  'join',
  'late',
  'aside',
  'up',
  'back',
  'part',
  'rejoin',
  'find',
  'rack',
  'unrack',
  'take-last',
  'free-last',
  'check',
  'box',
  'note',
  'see',
  'cure',
  'release',
  'let-through',
  'not-needed',
  'ask-stage',
  'give-time',
  'look-into',
  'void',
] as const;
type Deed = (typeof DEEDS)[number];

interface Act {
  readonly who: number;
  readonly deed: Deed | 'sync';
  /** Which of the records known at the bench the act refers to. */
  readonly pick: number;
  readonly minutes: number;
}

export interface History {
  /** In the order in which the records were truly made. */
  readonly made: readonly Placed[];
  readonly skewsMs: readonly number[];
}

/** What a deed's record refers to: a kind of record, of which one that the bench knows is picked. */
const REFERS_TO: Partial<Record<Deed, LedgerRecord['kind']>> = {
  amend: 'pair-logged',
  out: 'clocked-in',
  join: 'clocked-in',
  'give-time': 'clocked-in',
  see: 'noted',
  cure: 'noted',
  release: 'noted',
};

/** Times before, within and after the work, alone and together, some of them crossed. */
function givenTimes(pick: number) {
  const minute = (number: number) => MONDAY_8 + number * MINUTE_MS;
  return {
    from: pick % 3 === 0 ? null : minute((pick * 7) % 90),
    to: pick % 4 === 0 ? null : minute((pick * 11) % 120),
    outcome: [null, 'done', 'not-finished'][pick % 3] as 'done' | 'not-finished' | null,
  };
}

/** @param pick any whole number, from which shoe, outcome and the like follow */
function writeDeed(
  hand: Hand,
  deed: Deed,
  of: RecordId,
  stage: typeof WLT,
  pick: number,
  told: object,
): LedgerRecord {
  const shoe = SHOES[pick % 3] ?? 'both';
  const oneShoe = pick % 2 === 0 ? 'left' : 'right';
  switch (deed) {
    case 'log':
      return hand.write('pair-logged', { yes: pick % 2 === 0 ? 'to-ask' : 'given', ...told });
    case 'amend':
      return hand.write('pair-amended', { after: of, ...told });
    case 'ask-owner':
      return hand.write('owner-asked', told);
    case 'owner-says':
      return hand.write('owner-answered', { answer: OWNER_ANSWERS[pick % 3] ?? 'go-on', ...told });
    case 'picture':
      return hand.write('pictured', told);
    case 'reprint':
      return hand.write('ticket-reprinted', told);
    case 'hand-back':
      return hand.write('handed-back', told);
    case 'in':
      return hand.write('clocked-in', { stage, shoe, ...told });
    case 'out':
      return hand.write('clocked-out', { of, stage, closes: stage === LAY, timed: pick % 5 > 0, ...told });
    case 'join':
      return hand.write('hand-joined', { of, hand: HANDS[pick % 3] ?? INES, ...told });
    case 'late':
      return hand.write('done-unscanned', { stage, shoe, ...told });
    case 'aside':
      return hand.write('set-aside', { stage, ...told });
    case 'up':
      return hand.write('taken-up', told);
    case 'back':
      return hand.write('sent-back', { to: stage, shoe, again: [{ stage: LAY, shoe: 'both' }], ...told });
    case 'part':
      return hand.write('parted', { shoe: oneShoe, ...told });
    case 'rejoin':
      return hand.write('rejoined', told);
    case 'find':
      return hand.write('found-here', told);
    case 'rack':
      return hand.write('racked', { rack: RACKS[pick % 2] ?? RACK, ...told });
    case 'unrack':
      return hand.write('unracked', { rack: RACKS[pick % 2] ?? RACK, ...told });
    case 'take-last':
      return hand.write('last-taken', told);
    case 'free-last':
      return hand.write('last-freed', told);
    case 'check':
      return hand.write('checked', { stage, ...told });
    case 'box':
      return hand.write('boxed', told);
    case 'note':
      return hand.write('noted', { seeAt: [stage], weight: WEIGHTS[pick % 4] ?? 'mind', ...told });
    case 'see':
      return hand.write('note-seen', { note: of, stage, ...told });
    case 'cure':
      return hand.write('note-cured', { note: of, stage, ...told });
    case 'release':
      return hand.write('note-released', { note: of, ...told });
    case 'let-through':
      return hand.write('let-through', { stage, past: HURDLES[pick % HURDLES.length] ?? 'not-due', ...told });
    case 'not-needed':
      return hand.write('not-needed', { stage, ...told });
    case 'ask-stage':
      return hand.write('stage-asked', { stages: [stage], ...told });
    case 'give-time':
      return hand.write('time-given', { ...givenTimes(pick), of, closes: stage === LAY, ...told });
    case 'look-into':
      return hand.write('looked-into', { of, ...told });
    case 'void':
      return hand.write('voided', { of, ...told });
  }
}

/** Plays the acts: a bench knows its own records and what it has pulled, and refers to nothing else. */
function play(acts: readonly Act[], skewsMs: readonly number[]): History {
  const server: LedgerRecord[] = [];
  const made: LedgerRecord[] = [];
  let now = MONDAY_8;
  const benches = BENCHES.map((bench, index) => ({
    hand: handAt(bench, HANDS[index] ?? INES),
    outbox: [] as LedgerRecord[],
    own: [] as LedgerRecord[],
    pulled: 0,
    skewMs: skewsMs[index] ?? 0,
  }));
  for (const { who, deed, pick, minutes } of acts) {
    const bench = benches[who % benches.length];
    if (bench === undefined) continue;
    now += minutes * MINUTE_MS;
    if (deed === 'sync') {
      server.push(...bench.outbox.splice(0));
      bench.pulled = server.length;
      continue;
    }
    const known = [...server.slice(0, bench.pulled), ...bench.own].filter(
      ({ kind }) => kind !== 'voided' && kind === (REFERS_TO[deed] ?? kind),
    );
    const of = known[pick % Math.max(known.length, 1)]?.id;
    if (of === undefined && (deed === 'void' || deed === 'look-into' || deed in REFERS_TO)) continue;
    const record = writeDeed(bench.hand, deed, of ?? NOBODYS_ID, STAGES[pick % 2] ?? WLT, pick, {
      at: now + bench.skewMs,
      seen: bench.pulled === 0 ? CURSOR_START : seenUpTo(bench.pulled),
    });
    made.push(record);
    bench.own.push(record);
    bench.outbox.push(record);
  }
  return { made: made.map((record) => placedAt(record, server.indexOf(record) + 1)), skewsMs };
}

function placedAt(record: LedgerRecord, pos: number): Placed {
  return pos < 1 ? { record, pos: null, epoch: null } : { record, pos, epoch: EPOCH };
}

/** Clocking and sharing come most often, so that benches do end each other's spells. */
const act = fc.record<Act>({
  who: fc.nat(2),
  deed: fc.oneof(
    { weight: 5, arbitrary: fc.constant('sync' as const) },
    { weight: 6, arbitrary: fc.constantFrom(...DEEDS) },
    { weight: 3, arbitrary: fc.constantFrom<Deed>('log', 'in', 'in', 'out', 'out', 'note', 'back') },
  ),
  pick: fc.nat(20),
  minutes: fc.integer({ min: 1, max: 40 }),
});

/** @param skewHours how far a bench's clock may be off, either way */
export function honestHistories(skewHours: number): fc.Arbitrary<History> {
  const skew = fc
    .integer({ min: -skewHours * 60, max: skewHours * 60 })
    .map((minutes) => minutes * MINUTE_MS);
  return fc
    .tuple(fc.array(act, { maxLength: 60, size: 'max' }), fc.tuple(skew, skew, skew))
    .map(([acts, skewsMs]) => play(acts, skewsMs));
}

const wildRecord = fc.record({
  who: fc.nat(2),
  deed: fc.constantFrom(...DEEDS),
  seq: fc.integer({ min: 1, max: 5 }),
  minute: fc.nat(9),
  seen: fc.option(fc.nat(14), { nil: null }),
  otherEpoch: fc.boolean(),
  /** Number of the record named; often one that does not exist, sometimes itself. */
  of: fc.nat(16),
  placed: fc.boolean(),
});

/** Any heap of records with ids of their own. */
export const wildHeaps: fc.Arbitrary<readonly Placed[]> = fc
  .array(wildRecord, { maxLength: 14 })
  .map((heap) => {
    const idAt = (index: number) => idOf(asBenchId('wild'), index + 1);
    return heap.map(({ who, deed, seq, minute, seen, otherEpoch, of, placed }, index) => {
      const hand = handAt(BENCHES[who] ?? asBenchId('bench-a'), HANDS[who] ?? null);
      const record = writeDeed(hand, deed, idAt(of), STAGES[of % 2] ?? WLT, of, {
        id: idAt(index),
        seq,
        at: MONDAY_8 + minute * MINUTE_MS,
        seen: seen === null ? CURSOR_START : seenUpTo(seen, otherEpoch ? 'ffffffff' : EPOCH),
      });
      return placed ? placedAt(record, index + 1) : placedAt(record, 0);
    });
  });

/** The same records as they might arrive: in any order, some more than once, some also as not yet placed. */
export function arrivalsOf(placed: readonly Placed[]): fc.Arbitrary<readonly Placed[]> {
  const again = placed.flatMap((one): Placed[] => [one, { record: one.record, pos: null, epoch: null }]);
  return fc.subarray(again).chain((repeats) => {
    const all = [...placed, ...repeats];
    return fc.shuffledSubarray(all, { minLength: all.length, maxLength: all.length });
  });
}

/**
 * What a pair can have behind it when it is scanned: each situation is made of real records, for the bench and the
 * hand that scan it.
 */
import type { Place } from '../../src/domain/begin.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asBenchId, asStageCode, type OperativeId, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import type { BenchNow } from '../../src/domain/intent.ts';
import type { Hurdle, LedgerRecord, Shoe } from '../../src/domain/record/kinds.ts';
import { DESK, DSP, type Hand, handAt, MONDAY_8, placed } from './builders.ts';
import { type Bench, before, ELSEWHERE, OTHER_PAIR, PAIR, RUTH, TOMASZ, WORKS } from './intent-works.ts';

/** Who scans where. */
export interface Scene {
  readonly at: Bench;
  readonly me: OperativeId;
}

export interface Situation {
  readonly pair: PairState | null;
  readonly place: Pick<Place, 'book' | 'outOfUse' | 'lastHeldBy' | 'remindersDue'> &
    Pick<BenchNow, 'shiftFrom'>;
}

/** The pens that a situation is written with; what is due first at this bench is `stage`. */
interface Pens {
  readonly stage: StageCode;
  readonly me: OperativeId;
  readonly office: Hand;
  readonly here: Hand;
  readonly there: Hand;
  readonly supervisor: Hand;
  log(told?: object): LedgerRecord;
  work(hand: Hand, stage: StageCode, shoe?: Shoe): readonly LedgerRecord[];
  /** Logged, and everything before `stage` done elsewhere. */
  due(told?: object): readonly LedgerRecord[];
}

function pensFor({ at, me }: Scene): Pens {
  const stage = at.stages[0] ?? asStageCode('WLT');
  const office = handAt(DESK, RUTH, MONDAY_8 - 10 * HOUR_MS);
  const early = handAt(asBenchId('bench-early'), TOMASZ, MONDAY_8 - 9 * HOUR_MS);
  const here = handAt(at.bench, me, MONDAY_8);
  const there = handAt(ELSEWHERE, TOMASZ, MONDAY_8 + HOUR_MS);
  const supervisor = handAt(asBenchId('bench-supervisor'), RUTH, MONDAY_8 + 2 * HOUR_MS);
  const log = (told = {}) => office.write('pair-logged', { yes: 'given', ...told });
  const work = (hand: Hand, code: StageCode, shoe: Shoe = 'both') => {
    const clockIn = hand.write('clocked-in', { stage: code, shoe });
    return [clockIn, hand.write('clocked-out', { stage: code, of: clockIn.id, closes: code === DSP })];
  };
  const due = (told = {}) => [log(told), ...before(stage).flatMap((code) => work(early, code))];
  return { stage, me, office, here, there, supervisor, log, work, due };
}

type Story = (pens: Pens) => readonly LedgerRecord[];

const letPast =
  (past: Hurdle): Story =>
  ({ due, here, stage }) => [...due(), here.write('let-through', { stage, past, by: RUTH })];

const noted = (hand: Hand, stage: StageCode, weight: 'mind' | 'stop') =>
  hand.write('noted', { weight, text: 'thin upper at the toe', seeAt: [stage] });

/** By the words that a table says of it. */
const STORIES = {
  'worked and never logged': ({ here, stage }) => [
    here.write('found-here'),
    here.write('set-aside', { stage }),
    here.write('taken-up'),
  ],
  'logged, nothing done': ({ log }) => [log()],
  'due here': ({ due }) => due(),
  'first stage done here': ({ due, here, work, stage }) => [...due(), ...work(here, stage)],
  'all done here': ({ due, here, work, stage }) => [
    ...due(),
    ...work(here, stage),
    ...(stage === 'WLT' ? work(here, asStageCode('INT')) : []),
  ],
  'left unfinished here': ({ due, here, stage }) => {
    const begun = here.write('clocked-in', { stage });
    return [...due(), begun, here.write('clocked-out', { stage, of: begun.id, outcome: 'not-finished' })];
  },
  'done here, nobody scanned': ({ due, here, stage }) => [...due(), here.write('done-unscanned', { stage })],
  'sent back here, left shoe': ({ due, here, there, work, stage }) => [
    ...due(),
    ...work(here, stage),
    there.write('sent-back', { to: stage, shoe: 'left' }),
  ],
  'of a job without this stage': ({ log }) => [log({ job: 'HL' })],
  'said not to need this stage': ({ due, supervisor, stage }) => [
    ...due(),
    supervisor.write('not-needed', { stage }),
  ],
  'of a job without this stage, asked for': ({ log, supervisor, stage }) => [
    log({ job: 'HL' }),
    supervisor.write('stage-asked', { stages: [stage] }),
  ],
  'open here by me': ({ due, here, stage }) => [...due(), here.write('clocked-in', { stage })],
  'left open here before the shift': ({ due, here, stage }) => [
    ...due(),
    here.write('clocked-in', { stage }),
  ],
  'open here by another': ({ due, here, stage, me }) => [
    ...due(),
    here.write('clocked-in', { stage, by: me === TOMASZ ? RUTH : TOMASZ }),
  ],
  'open here by two hands apart': ({ due, here, stage }) => [
    ...due(),
    here.write('clocked-in', { stage, by: TOMASZ }),
    here.write('clocked-in', { stage, by: RUTH }),
  ],
  'open here by another, I beside': ({ due, here, stage, me }) => {
    const begun = here.write('clocked-in', { stage, by: me === TOMASZ ? RUTH : TOMASZ });
    return [...due(), begun, here.write('hand-joined', { of: begun.id, hand: me })];
  },
  'open elsewhere at this stage': ({ due, there, stage }) => [...due(), there.write('clocked-in', { stage })],
  'open elsewhere on the same front': ({ log, there }) => [
    log(),
    there.write('clocked-in', { stage: asStageCode('RIB') }),
  ],
  'open elsewhere beside it': ({ due, there }) => [
    ...due(),
    there.write('clocked-in', { stage: asStageCode('HBL') }),
  ],
  closed: ({ due, there, work }) => [...due(), ...work(there, DSP)],
  'set aside': ({ due, there, stage }) => [...due(), there.write('set-aside', { stage })],
  'taken up again': ({ due, there, stage }) => [
    ...due(),
    there.write('set-aside', { stage }),
    there.write('taken-up'),
  ],
  parted: ({ due, there }) => [...due(), there.write('parted', { shoe: 'left' })],
  'parted, the left one open here by me': ({ due, there, here, stage }) => [
    ...due(),
    there.write('parted', { shoe: 'left', at: MONDAY_8 - 1 }),
    here.write('clocked-in', { stage, shoe: 'left' }),
  ],
  'parted, the left one open elsewhere': ({ due, there, stage }) => [
    ...due(),
    there.write('parted', { shoe: 'left' }),
    there.write('clocked-in', { stage, shoe: 'left' }),
  ],
  'parted, the left one done': ({ due, there, work, stage }) => [
    ...due(),
    there.write('parted', { shoe: 'left' }),
    ...work(there, stage, 'left'),
  ],
  'parted and rejoined': ({ due, there }) => [
    ...due(),
    there.write('parted', { shoe: 'left' }),
    there.write('rejoined'),
  ],
  'due here, the owner asked': ({ due }) => due({ yes: 'to-ask' }),
  'due here, the owner asked again': ({ due, there }) => [...due(), there.write('owner-asked')],
  'due here, the owner not asked': ({ due }) => due({ yes: 'not-wanted' }),
  'due here, the owner has said go on': ({ due, office }) => [
    ...due({ yes: 'to-ask' }),
    office.write('owner-answered', { answer: 'go-on' }),
  ],
  'the owner has said stop': ({ due, office }) => [
    ...due({ yes: 'to-ask' }),
    office.write('owner-answered', { answer: 'stop', words: 'send it back as it is' }),
  ],
  'with a stop note': ({ due, there, stage }) => [...due(), noted(there, stage, 'stop')],
  'with a stop note released': ({ due, there, supervisor, stage }) => {
    const note = noted(there, stage, 'stop');
    return [...due(), note, supervisor.write('note-released', { note: note.id })];
  },
  'with a stop note cured': ({ due, there, stage }) => {
    const note = noted(there, stage, 'stop');
    return [...due(), note, there.write('note-cured', { note: note.id, stage })];
  },
  'with a note not seen': ({ due, there, stage }) => [...due(), noted(there, stage, 'mind')],
  'with a note that I have seen here': ({ due, there, here, stage }) => {
    const note = noted(there, stage, 'mind');
    return [...due(), note, here.write('note-seen', { note: note.id, stage, at: note.at + 1 })];
  },
  'open here by me, a note came in': ({ due, here, there, stage }) => [
    ...due(),
    here.write('clocked-in', { stage }),
    noted(there, stage, 'mind'),
  ],
  'open here by me, a stop note came in': ({ due, here, there, stage }) => [
    ...due(),
    here.write('clocked-in', { stage }),
    noted(there, stage, 'stop'),
  ],
  'not due, let past': ({ log, here, stage }) => [
    log(),
    here.write('let-through', { stage, past: 'not-due', by: RUTH }),
  ],
  'the owner asked, let past': ({ due, here, stage }) => [
    ...due({ yes: 'to-ask' }),
    here.write('let-through', { stage, past: 'owners-yes', by: RUTH }),
  ],
  'a hand not released, let past': letPast('not-released'),
  'the machine out of use, let past': letPast('out-of-use'),
  'parted, let past': ({ due, here, stage }) => [
    ...due(),
    here.write('parted', { shoe: 'left' }),
    here.write('let-through', { stage, past: 'parted', by: RUTH }),
  ],
  'of a job without this stage, let past': ({ log, here, stage }) => [
    log({ job: 'HL' }),
    here.write('let-through', { stage, past: 'not-on-route', by: RUTH }),
  ],
  'let past, and done since': ({ log, here, work, stage }) => [
    log(),
    here.write('let-through', { stage, past: 'not-due', by: RUTH }),
    ...work(here, stage),
    here.write('sent-back', { to: stage, shoe: 'both' }),
  ],
  'with everything against it': ({ log, there, office, stage, work }) => [
    log({ yes: 'to-ask' }),
    there.write('clocked-in', { stage }),
    ...work(there, DSP),
    office.write('owner-answered', { answer: 'stop', words: null, at: MONDAY_8 + 3 * HOUR_MS }),
    there.write('parted', { shoe: 'left' }),
    there.write('set-aside', { stage }),
    noted(there, stage, 'stop'),
  ],
} satisfies Record<string, Story>;

const PLACE: Situation['place'] = {
  book: WORKS,
  outOfUse: () => null,
  lastHeldBy: () => null,
  remindersDue: () => false,
};

const outOfUse = () => 'guard loose';

/** What the bench knows besides the pair, by the same words; where nothing is said, nothing is in the way. */
const PLACES: Partial<Record<keyof typeof STORIES, Partial<Situation['place']>>> = {
  'the machine out of use, let past': { outOfUse },
  'left open here before the shift': { shiftFrom: MONDAY_8 + DAY_MS },
  'with everything against it': { outOfUse, lastHeldBy: () => OTHER_PAIR, remindersDue: () => true },
};

/** A pair that is due here, and what only the bench knows. */
const DUE_WHERE = {
  'the machine is out of use': { outOfUse },
  'another pair has the lasts': { lastHeldBy: () => OTHER_PAIR },
  'reminders have to be shown': { remindersDue: () => true },
  'the book has not come': { book: null },
} satisfies Record<string, Partial<Situation['place']>>;

export const UNKNOWN_PAIR = 'that no tablet has heard of';

export type SituationName =
  | typeof UNKNOWN_PAIR
  | keyof typeof STORIES
  | `due here, where ${keyof typeof DUE_WHERE}`;

export const SITUATIONS = [
  UNKNOWN_PAIR,
  ...Object.keys(STORIES),
  ...Object.keys(DUE_WHERE).map((where) => `due here, where ${where}`),
] as readonly SituationName[];

/** The records of a situation, as the server holds them. */
export function recordsOf(name: SituationName, scene: Scene): readonly Placed[] {
  if (name === UNKNOWN_PAIR) return [];
  const story: Story = name in STORIES ? STORIES[name as keyof typeof STORIES] : STORIES['due here'];
  return placed(story(pensFor(scene)));
}

export function situation(name: SituationName, scene: Scene): Situation {
  const where = name.replace('due here, where ', '');
  const place = {
    ...PLACE,
    ...PLACES[name as keyof typeof STORIES],
    ...DUE_WHERE[where as keyof typeof DUE_WHERE],
  };
  const records = recordsOf(name, scene);
  return { pair: records.length === 0 ? null : foldPair(PAIR, records), place };
}

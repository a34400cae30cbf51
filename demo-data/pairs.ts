/** The pairs that come to the workshop: what they are, which stages they take, and where they stand. */
import type { PairId, RecordId, StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import type { Job, OneShoe, RecordOf, ShoeCondition } from '../src/domain/record/kinds.ts';
import type { Finding } from './findings.ts';
import type { Prng } from './prng.ts';
import { drawOptional, farBefore, type Route, routeOver, stagesAlways } from './route.ts';
import { OWNERS_YES } from './workshop.ts';

export interface NoteOnPair {
  readonly id: RecordId;
  readonly finding: Finding;
  /** Hand and stage, for each time that it was seen. */
  readonly seen: Set<string>;
  cured: boolean;
}

/** A pair as the simulation knows it. */
export interface PairOnLine {
  readonly id: PairId;
  /** The job that it came in for, and the one agreed on now. */
  readonly loggedJob: Job;
  job: Job;
  readonly ownerRef: string;
  readonly style: string;
  readonly last: string;
  readonly size: string;
  readonly fitting: string;
  readonly maker: string | null;
  /** What the owner asked for. */
  readonly wish: string | null;
  readonly withPair: string[];
  readonly condition: NonNullable<RecordOf<'pair-logged'>['condition']>;
  readonly loggedAt: Instant;
  readonly promised: string;
  /** When it falls late: the end of the day that was promised. */
  readonly lateFrom: Instant;
  /** Stages beyond those that the job always takes; a record asks for each once the pair was inspected. */
  readonly optional: readonly StageCode[];
  /** How the owner's yes stood when the pair was logged, and stands now. */
  readonly loggedYes: RecordOf<'pair-logged'>['yes'];
  yes: 'to-ask' | 'given' | 'not-wanted' | 'stopped';
  route: Route;
  /** When each stage was finished, and when what it left has settled. */
  readonly done: Map<StageCode, { readonly at: Instant; readonly settledAt: Instant }>;
  /** Stages that wait in a bench's queue. */
  readonly queued: Set<StageCode>;
  /** Minutes still to do at a stage that was left unfinished. */
  readonly rest: Map<StageCode, number>;
  readonly notes: NoteOnPair[];
  busyUntil: Instant;
  heldUntil: Instant;
  setAside: boolean;
  /** Which shoe travels alone, and the stage that it went back to. */
  parted: { readonly shoe: OneShoe; readonly stage: StageCode } | null;
  rack: string | null;
  hasLast: boolean;
  /** Stages done without a scan that nobody has told of yet. */
  readonly unscanned: Set<StageCode>;
  timesSentBack: number;
  closedAt: Instant | null;
}

const JOB_MIX: readonly (readonly [Job, number])[] = [
  ['FB', 45],
  ['RS', 22],
  ['LG', 12],
  ['HF', 11],
  ['HL', 10],
];

/** Working days that the office quotes for each job. */
const QUOTED_DAYS: Readonly<Record<Job, readonly [number, number]>> = {
  HL: [3, 5],
  HF: [8, 11],
  LG: [9, 12],
  RS: [11, 15],
  FB: [12, 17],
};

/** Promised sooner than the house can do it. */
const SHARE_HURRIED = 0.22;

const SHAPES = [
  'oxford',
  'derby',
  'brogue',
  'monk shoe',
  'loafer',
  'ankle boot',
  'field boot',
  'chukka boot',
];
const COLOURS = ['black', 'brown', 'tan', 'oxblood', 'dark brown', 'chestnut', 'navy'];
const LASTS = ['27', '31', '38', '44', '52', '67', '73', '82', '85', '91'];
const SIZES = ['5', '5½', '6', '6½', '7', '7½', '8', '8½', '9', '9½', '10', '10½', '11', '12'];
const FITTINGS = ['D', 'E', 'E', 'F', 'F', 'F', 'G'];
const MAKERS = ['Harrow & Finch', 'Coldbrook', 'J. Tellister', 'Marrick Bros', 'Oakhanger'];
const WISHES = [
  'Edges as dark as they were',
  'Thinner soles than before',
  'Needed for a wedding',
  'Rubber top pieces',
  'Keep the old heel socks',
];
const THINGS = ['laces', 'trees', 'bag', 'box', 'inserts'];

export interface Logging {
  readonly id: PairId;
  readonly at: Instant;
  /** Which shelf of lasts it is for: each line has its own. */
  readonly shelf: string;
  /** The promised day and its end, for so many working days from now. */
  readonly promise: (workingDays: number) => { readonly date: string; readonly end: Instant };
}

/** A new pair. */
export function drawPair({ id, at, shelf, promise }: Logging, random: Prng): PairOnLine {
  const job = random.weighted(JOB_MIX);
  const days = random.int(...QUOTED_DAYS[job]) * (random.chance(SHARE_HURRIED) ? 0.45 : 1);
  const { date: promised, end: lateFrom } = promise(Math.ceil(days));
  const optional = drawOptional(job, random);
  const stages = [...stagesAlways(job), ...optional];
  const yes = stages.includes(OWNERS_YES)
    ? random.weighted(YES_MIX)
    : random.chance(0.4)
      ? 'given'
      : 'not-wanted';
  const done = new Map([[OWNERS_YES, { at, settledAt: at }]]);
  return {
    id,
    loggedJob: job,
    job,
    ownerRef: `${random.pick(['A', 'B', 'C'])}-${random.int(1000, 9999)}`,
    style: `${random.pick(COLOURS)} ${random.pick(SHAPES)}`,
    last: `${random.pick(LASTS)}${shelf}`,
    size: random.pick(SIZES),
    fitting: random.pick(FITTINGS),
    maker: random.chance(0.6) ? random.pick(MAKERS) : null,
    wish: random.chance(0.15) ? random.pick(WISHES) : null,
    withPair: THINGS.filter(() => random.chance(0.3)),
    condition: { left: drawCondition(job, random), right: drawCondition(job, random) },
    loggedAt: at,
    promised,
    lateFrom,
    optional,
    loggedYes: yes,
    yes,
    route: routeOver(stages),
    done: yes === 'given' ? done : new Map(),
    queued: new Set(),
    rest: new Map(),
    notes: [],
    busyUntil: 0,
    heldUntil: 0,
    setAside: false,
    parted: null,
    rack: null,
    hasLast: false,
    unscanned: new Set(),
    timesSentBack: 0,
    closedAt: null,
  };
}

const YES_MIX = [
  ['given', 55],
  ['to-ask', 45],
] as const;

/** A worse sole for a longer job; how often each turns up is invented. */
function drawCondition(job: Job, random: Prng): ShoeCondition {
  const sole = job === 'HL' ? 'sound' : random.pick(['worn', 'worn', 'lock', 'through'] as const);
  const welt = job === 'FB' ? random.pick(['sound', 'short-tear', 'long-tear'] as const) : 'sound';
  return { sole, welt, heel: random.pick(['top-piece', 'top-piece', 'lifts', 'sound'] as const) };
}

/** The pair takes these stages from now on, beyond or instead of those that it took. */
export function takeStages(pair: PairOnLine, stages: readonly StageCode[]): void {
  pair.route = routeOver(stages);
}

/** Stages of the benches that are not done, not queued, and whose needs are all met. */
export function stagesNowDue(pair: PairOnLine): readonly StageCode[] {
  return [...pair.route.keys()].filter(
    (stage) => stage !== OWNERS_YES && !pair.queued.has(stage) && isDue(pair, stage),
  );
}

/** Whether `stage` is to be done and nothing that must come first is missing; after a return, also from further off. */
export function isDue({ route, done, timesSentBack }: PairOnLine, stage: StageCode): boolean {
  const needs = route.get(stage);
  if (needs === undefined || done.has(stage) || !needs.every((need) => done.has(need))) return false;
  return timesSentBack === 0 || [...farBefore(route, stage)].every((need) => done.has(need));
}

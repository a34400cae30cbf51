/** The pairs that come to the workshop: what they are, which stages they take, and where they stand. */
import type { PairId, RecordId, StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import type { Job } from '../src/domain/record/kinds.ts';
import type { Finding } from './findings.ts';
import type { Prng } from './prng.ts';
import { drawStages, type Route, routeOver } from './route.ts';

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
  readonly job: Job;
  readonly ownerRef: string;
  readonly style: string;
  readonly last: string;
  readonly size: string;
  readonly fitting: string;
  readonly withPair: string[];
  readonly loggedAt: Instant;
  readonly promised: string;
  /** When it falls late: the end of the day that was promised. */
  readonly lateFrom: Instant;
  readonly route: Route;
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
const THINGS = ['laces', 'trees', 'bag', 'box', 'inserts'];

export interface Logging {
  readonly id: PairId;
  readonly at: Instant;
  /** The promised day and its end, for so many working days from now. */
  readonly promise: (workingDays: number) => { readonly date: string; readonly end: Instant };
}

/** A new pair. */
export function drawPair({ id, at, promise }: Logging, random: Prng): PairOnLine {
  const job = random.weighted(JOB_MIX);
  const days = random.int(...QUOTED_DAYS[job]) * (random.chance(SHARE_HURRIED) ? 0.45 : 1);
  const { date: promised, end: lateFrom } = promise(Math.ceil(days));
  return {
    id,
    job,
    ownerRef: `${random.pick(['A', 'B', 'C'])}-${random.int(1000, 9999)}`,
    style: `${random.pick(COLOURS)} ${random.pick(SHAPES)}`,
    last: random.pick(LASTS),
    size: random.pick(SIZES),
    fitting: random.pick(FITTINGS),
    withPair: THINGS.filter(() => random.chance(0.3)),
    loggedAt: at,
    promised,
    lateFrom,
    route: routeOver(drawStages(job, random)),
    done: new Map(),
    queued: new Set(),
    rest: new Map(),
    notes: [],
    busyUntil: 0,
    heldUntil: 0,
    setAside: false,
    timesSentBack: 0,
    closedAt: null,
  };
}

/** Stages that are not done, not queued, and whose needs are all met. */
export function stagesNowDue(pair: PairOnLine): readonly StageCode[] {
  return [...pair.route.keys()].filter((stage) => !pair.queued.has(stage) && isDue(pair, stage));
}

/** Whether `stage` is to be done and nothing that must come first is missing. */
export function isDue({ route, done }: PairOnLine, stage: StageCode): boolean {
  const needs = route.get(stage);
  return needs !== undefined && !done.has(stage) && needs.every((need) => done.has(need));
}

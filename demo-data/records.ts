/**
 * The demo's workshop with a month of records, made by a seeded simulation: the same seed, size and end give the
 * same records to the byte. Badges and set-up codes come from the seed as well, so this is no way to set up a
 * real site.
 */
import type { Calendar } from '../src/domain/calendar/calendar.ts';
import { issueTicket } from '../src/domain/code.ts';
import { codeHash } from '../src/domain/code-hash.ts';
import type { PairId } from '../src/domain/ids.ts';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { LedgerRecord } from '../src/domain/record/kinds.ts';
import type { SiteBook } from '../src/domain/site-book.ts';
import { shiftWindows } from '../src/server/shift-windows.ts';
import { Lasts } from './lasts.ts';
import { addLately, type LatelyKind } from './lately.ts';
import { runLine } from './line.ts';
import { addOddities, type Oddity } from './oddities.ts';
import type { PairOnLine } from './pairs.ts';
import { type Prng, prng } from './prng.ts';
import { Queues } from './queues.ts';
import type { Route } from './route.ts';
import { calendarAt, type WorkingDay, workingDays as workingDaysRound } from './shifts.ts';
import type { Shop } from './shop.ts';
import { type DemoBadge, type DemoBench, drawStaff, drawToken, type Staff } from './staff.ts';
import { pairIn, Scribe, sentIn, setBack, type Tablet, type Written } from './tablets.ts';
import {
  ASK,
  BOOK_STAGES,
  CLOSING_STAGE,
  RACKS,
  ROUTES,
  SITE_ID,
  SITE_NAME,
  TIME_ZONE,
  WAYS,
} from './workshop.ts';

export interface WorkshopSize {
  readonly seed: number;
  /** The present when the demo is made; nothing is recorded after it. */
  readonly endsAt: Instant;
  readonly openPairs?: number;
  /** How many working days the records of closed pairs reach back. */
  readonly workingDays?: number;
  /** About so many records: the pairs that were closed first are left out. All where it is not said. */
  readonly records?: number;
  /** The server ledger's epoch, which the records' `seen` names. */
  readonly epoch?: string;
}

/** Records that one bench sends at once, in the order in which the server must take them. */
export interface DemoBatch {
  readonly bench: DemoBench;
  readonly receivedAt: Instant;
  readonly records: readonly LedgerRecord[];
}

export interface Workshop {
  readonly endsAt: Instant;
  readonly epoch: string;
  readonly book: SiteBook;
  readonly calendar: Calendar;
  readonly badges: readonly DemoBadge[];
  /** Bench tablets and then desks, by lane. */
  readonly benches: readonly DemoBench[];
  /** All of them, in the order of the batches. */
  readonly records: readonly LedgerRecord[];
  readonly batches: readonly DemoBatch[];
  /** What each logged pair takes, which no record says. */
  readonly routes: ReadonlyMap<PairId, Route>;
  /** What was laid in on purpose, and where. */
  readonly oddities: readonly LaidIn[];
}

export type LaidIn = Oddity | { readonly is: LatelyKind; readonly pair: PairId };

const OPEN_PAIRS = 150;
const WORKING_DAYS = 30;
export const DEMO_EPOCH = 'a1de2b0c';
/** Grows when the same seed would give another workshop than before. */
export const GENERATOR = 4;
/** One line of benches and hands holds about this many pairs; a larger workshop has more lines. */
const PAIRS_A_LINE = 150;
/** The line starts empty; only after this many working days does it run as usual. */
const WARM_UP_DAYS = 20;
/** For the days that are promised, and for pairs held past the end. */
const COMING_DAYS = 40;

export function makeWorkshop(size: WorkshopSize): Workshop {
  const { seed, endsAt, openPairs = OPEN_PAIRS, workingDays = WORKING_DAYS, epoch = DEMO_EPOCH } = size;
  const days = workingDaysRound(endsAt, WARM_UP_DAYS + workingDays, COMING_DAYS);
  const random = prng(seed);
  const lineCount = Math.max(1, Math.round(openPairs / PAIRS_A_LINE));
  const staff = drawStaff({ lineCount, days, back: days[WARM_UP_DAYS + workingDays - 6] ?? null }, random);
  const issue = tickets(staff.office.lane);
  const racks = RACKS.map(() => drawToken('rack', random));
  const setup = { staff, racks, days, keepFrom: days[WARM_UP_DAYS]?.early.from ?? 0, endsAt, issue };
  const runs = staff.lines.map((_, line) =>
    runOne({
      ...setup,
      line,
      openPairs: shareOf(openPairs, lineCount, line),
      records: size.records === undefined ? null : shareOf(size.records, lineCount, line),
      random: prng(seed + line * 7919 + 1),
    }),
  );
  const happened = runs.flatMap(({ written }) => written);
  const batches = sentIn([...happened, ...setUps(happened, random)], epoch, endsAt, random).map((batch) => ({
    bench: staff.benchOf(batch.tablet),
    receivedAt: batch.receivedAt,
    records: batch.records,
  }));
  return {
    endsAt,
    epoch,
    book: bookOf(staff, racks, endsAt),
    calendar: calendarAt(endsAt),
    badges: staff.badges,
    benches: staff.benches,
    records: batches.flatMap(({ records }) => records),
    batches,
    routes: new Map(runs.flatMap(({ pairs }) => pairs.map(({ id, route }) => [id, route] as const))),
    oddities: runs.flatMap(({ oddities }) => oddities),
  };
}

/** A workshop of many lines, for measuring: so many open pairs and about so many records. */
export function largeLedger({
  pairs = 5_000,
  records = 200_000,
  seed = 1,
  endsAt,
}: {
  readonly pairs?: number;
  readonly records?: number;
  readonly seed?: number;
  readonly endsAt: Instant;
}): Workshop {
  // An open pair has some 30 records and a closed one some 65; a line closes about 16 pairs a day.
  const closed = Math.max(0, records - pairs * 30) / 65;
  const workingDays = Math.max(2, Math.ceil((closed / (pairs / PAIRS_A_LINE) / 16) * 1.3));
  return makeWorkshop({ seed, endsAt, openPairs: pairs, workingDays, records });
}

interface OneLine {
  readonly staff: Staff;
  readonly racks: readonly string[];
  readonly line: number;
  readonly days: readonly WorkingDay[];
  readonly keepFrom: Instant;
  readonly endsAt: Instant;
  readonly openPairs: number;
  readonly records: number | null;
  readonly issue: () => PairId;
  readonly random: Prng;
}

interface OneRun {
  readonly written: readonly Written[];
  readonly pairs: readonly PairOnLine[];
  readonly oddities: readonly LaidIn[];
}

function runOne(setup: OneLine): OneRun {
  const { staff, racks, line, days, keepFrom, endsAt, openPairs, records, issue, random } = setup;
  const { office, supervision, clerks, supervisors } = staff;
  const scribe = new Scribe(random);
  const crew = staff.crew(line);
  const lasts = new Lasts();
  const shop: Shop = {
    random,
    scribe,
    queues: new Queues((pair, stage, now) => lasts.isFree(pair, stage, now)),
    lasts,
    desk: supervision,
    office,
    supervisors,
    clerks,
    racks,
    days,
    handsBeside: (hand, shift, stage) =>
      crew.hands
        .filter(({ id, shifts }) => id !== hand && shifts.includes(shift))
        .filter(({ released }) => stage === undefined || released === null || released.includes(stage))
        .map(({ id }) => id),
    reminded: new Set(),
  };
  const all = runLine({
    shop,
    ...crew,
    office: { desk: office, clerks, openPairs, issue, shelf: line === 0 ? '' : `/${line + 1}` },
    from: days[0]?.office.from ?? 0,
    endsAt,
  });
  for (const pair of all) if (pair.closedAt !== null && pair.closedAt > endsAt) pair.closedAt = null;
  const past = scribe.written.filter(({ trueAt }) => trueAt <= endsAt).sort((a, b) => a.trueAt - b.trueAt);
  const pairs = kept(all, past, keepFrom, records);
  const ids = new Set(pairs.map(({ id }) => id));
  const happened = past.filter(({ draft, trueAt }) => {
    const pair = pairIn(draft);
    return pair === null ? trueAt >= keepFrom : ids.has(pair);
  });
  const wrongClock = staff.clockBack(line);
  const back = wrongClock === null ? null : setBack(happened, wrongClock);
  const odd = new Scribe(random);
  const oddities = addOddities({
    random,
    scribe: odd,
    happened,
    pairs,
    back,
    office,
    supervision,
    clerks,
    supervisors,
    issue,
    endsAt,
  });
  const lately = new Scribe(random);
  const standing = addLately({
    random,
    scribe: lately,
    happened: [...happened, ...odd.written].sort((a, b) => a.trueAt - b.trueAt),
    pairs,
    used: new Set(oddities.map(({ pair }) => pair)),
    benches: crew.benches,
    office,
    supervision,
    clerks,
    supervisors,
    racks,
    days,
    endsAt,
  });
  const written = [...happened, ...odd.written, ...lately.written];
  return { written, pairs, oddities: [...oddities, ...standing] };
}

/** The pairs open or closed since `keepFrom`; fewer closed ones where the records would be more than `records`. */
function kept(
  all: readonly PairOnLine[],
  past: readonly Written[],
  keepFrom: Instant,
  records: number | null,
): readonly PairOnLine[] {
  const pairs = all.filter(({ closedAt }) => closedAt === null || closedAt >= keepFrom);
  if (records === null) return pairs;
  const counts = new Map<PairId | null, number>();
  for (const { draft, trueAt } of past) {
    const pair = pairIn(draft);
    if (pair !== null || trueAt >= keepFrom) counts.set(pair, (counts.get(pair) ?? 0) + 1);
  }
  const countOf = ({ id }: PairOnLine) => counts.get(id) ?? 0;
  let rest = records - (counts.get(null) ?? 0);
  for (const pair of pairs) if (pair.closedAt === null) rest -= countOf(pair);
  const latest = pairs
    .filter(({ closedAt }) => closedAt !== null)
    .sort((a, b) => (b.closedAt ?? 0) - (a.closedAt ?? 0));
  const held = new Set<PairOnLine>();
  for (const pair of latest) {
    rest -= countOf(pair);
    if (rest < 0) break;
    held.add(pair);
  }
  return pairs.filter((pair) => pair.closedAt === null || held.has(pair));
}

/** Each bench is set up a minute before its first record. */
function setUps(happened: readonly Written[], random: Prng): readonly Written[] {
  const scribe = new Scribe(random);
  const firsts = new Map<Tablet, Instant>();
  for (const { tablet, trueAt } of happened)
    firsts.set(tablet, Math.min(trueAt, firsts.get(tablet) ?? trueAt));
  for (const [tablet, first] of firsts) {
    if (tablet.place === 'bench')
      scribe.say(tablet, null, first - MINUTE_MS, 'bench-set', { stages: [...tablet.stages] });
  }
  return scribe.written;
}

function bookOf({ badges, benches }: Staff, racks: readonly string[], endsAt: Instant): SiteBook {
  return {
    site: SITE_ID,
    name: SITE_NAME,
    timeZone: TIME_ZONE,
    version: 1,
    ticketPattern: null,
    ask: ASK,
    closingStage: CLOSING_STAGE,
    stages: BOOK_STAGES,
    routes: [ROUTES],
    ways: WAYS,
    racks: racks.map((rack, index) => ({ rack, name: RACKS[index] ?? rack })),
    reminders: { version: 0, wordings: [] },
    operatives: badges.map(({ operative, name, role, released }) => ({
      id: operative,
      name,
      role,
      released: released === null ? null : [...released],
    })),
    badges: badges.map(({ operative, token }) => ({ hash: codeHash(token), operative })),
    benches: benches.map(({ bench, name, stages }) => ({ bench, name, stages: [...stages] })),
    personal: { figures: true, keepDays: 365 },
    shifts: [...shiftWindows(calendarAt(endsAt), TIME_ZONE, endsAt)],
  };
}

function tickets(lane: number): () => PairId {
  let counter = 0;
  return () => {
    const { pair, next } = issueTicket(lane, counter);
    counter = next;
    return pair;
  };
}

function shareOf(total: number, lineCount: number, line: number): number {
  return Math.floor(total / lineCount) + (line < total % lineCount ? 1 : 0);
}

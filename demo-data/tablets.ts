/** The tablets of the workshop: each one's clock, and when it could reach the server. */
import type { Span } from '../src/domain/calendar/calendar.ts';
import { CURSOR_START, cursorAt } from '../src/domain/cursor.ts';
import { draft, type Making, type Said } from '../src/domain/drafts.ts';
import type { BenchId, OperativeId, PairId, StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import { HOUR_MS, MINUTE_MS } from '../src/domain/instant.ts';
import type { Draft, LedgerRecord, RecordKind } from '../src/domain/record/kinds.ts';
import { UUID_RANDOM_BYTES, uuidv7 } from '../src/domain/uuid.ts';
import type { Prng } from './prng.ts';
import type { WorkingDay } from './shifts.ts';
import { SITE_ID } from './workshop.ts';

export interface Tablet {
  readonly bench: BenchId;
  readonly key: string;
  readonly name: string;
  readonly place: 'bench' | 'desk';
  readonly stages: readonly StageCode[];
  readonly lane: number;
  /** How far its clock is from the true time, and how far its own estimate of that is out; milliseconds. */
  readonly clockErrorMs: number;
  readonly estimateErrorMs: number;
  /** When the server was out of reach, in order. */
  readonly outages: readonly Span[];
}

/** One fact, when it truly happened, and on which tablet. */
export interface Written {
  readonly tablet: Tablet;
  readonly trueAt: Instant;
  readonly draft: Draft;
}

/** Writes on a tablet what happens, as the tablet's clock sees it. */
export class Scribe {
  readonly written: Written[] = [];
  readonly #random: Prng;

  constructor(random: Prng) {
    this.#random = random;
  }

  making(tablet: Tablet, by: OperativeId | null, trueAt: Instant): Making {
    const wall = wallOf(tablet, trueAt);
    return {
      site: SITE_ID,
      bench: tablet.bench,
      by,
      wall,
      newId: () => uuidv7(wall.ms, this.#random.bytes(UUID_RANDOM_BYTES)),
    };
  }

  write<Kind extends RecordKind>(
    tablet: Tablet,
    by: OperativeId | null,
    at: Instant,
    make: (making: Making) => Draft<Kind>,
  ): Draft<Kind> {
    const trueAt = Math.round(at);
    const made = make(this.making(tablet, by, trueAt));
    this.written.push({ tablet, trueAt, draft: made as Draft });
    return made;
  }

  /** One record of `kind` that says this. */
  say<Kind extends RecordKind>(
    tablet: Tablet,
    by: OperativeId | null,
    at: Instant,
    kind: Kind,
    said: Said<Kind>,
  ): Draft<Kind> {
    return this.write(tablet, by, at, (making) => draft(making, kind, said));
  }
}

function wallOf(tablet: Tablet, trueAt: Instant): Making['wall'] {
  return {
    ms: trueAt + tablet.clockErrorMs,
    offsetMs: tablet.estimateErrorMs - tablet.clockErrorMs,
    known: true,
  };
}

/** About one afternoon in ten without the server; the tablet of the day with the wrong clock is away longer. */
export function drawOutages(days: readonly WorkingDay[], random: Prng): Span[] {
  return days
    .filter(() => random.chance(0.1))
    .map(({ early, late }) => ({
      from: early.from + random.between(3, 6) * HOUR_MS,
      to: late.from + random.between(-0.5, 3) * HOUR_MS,
    }));
}

/** While a tablet's clock stood back. */
export interface ClockBack extends Span {
  readonly tablet: Tablet;
}

const CLOCK_BACK_MS = 3 * HOUR_MS;

/**
 * After a restart with a flat battery, in the middle of the first work begun within `span`, the tablet's clock
 * stands three hours back until the span ends. Changes the records in place; their ids keep the true time.
 */
export function setBack(happened: Written[], { tablet, from, to }: ClockBack): ClockBack | null {
  const first = happened.find(
    (one) => one.tablet === tablet && one.draft.kind === 'clocked-in' && one.trueAt >= from,
  );
  if (first === undefined || first.trueAt >= to) return null;
  const back: ClockBack = { tablet, from: first.trueAt + 2 * MINUTE_MS, to };
  for (const [index, one] of happened.entries()) {
    if (!standsBack(back, one)) continue;
    const { at, wall } = one.draft;
    const draft = { ...one.draft, at: at - CLOCK_BACK_MS, wall: { ...wall, ms: wall.ms - CLOCK_BACK_MS } };
    happened[index] = { ...one, draft };
  }
  return back;
}

export function standsBack(back: ClockBack | null, { tablet, trueAt }: Omit<Written, 'draft'>): boolean {
  return back !== null && back.tablet === tablet && holds(back, trueAt);
}

/** What one tablet sent at once. */
export interface Batch {
  readonly tablet: Tablet;
  readonly receivedAt: Instant;
  readonly records: readonly LedgerRecord[];
}

/** All tablets send what they have gathered this often; at each scan a month would be some 20,000 transactions. */
const SENDING_MS = 12 * HOUR_MS;
const BATCH_RECORDS_MAX = 500;

/**
 * The records in the order in which the server takes them, a tablet's own with its sequence, and each with what
 * its tablet had read by then.
 */
export function sentIn(written: readonly Written[], epoch: string, endsAt: Instant, random: Prng): Batch[] {
  const sent = inSequence(written, random).sort(
    (a, b) => a.sending - b.sending || a.written.tablet.lane - b.written.tablet.lane || a.seq - b.seq,
  );
  const before = headsBefore(sent);
  const batches: { tablet: Tablet; receivedAt: Instant; sending: number; records: LedgerRecord[] }[] = [];
  for (const { written: one, seq, sending, readTo } of sent) {
    const pos = before(readTo);
    const record = { ...one.draft, seq, seen: pos === 0 ? CURSOR_START : cursorAt({ epoch, pos }) };
    const batch = batches.at(-1);
    const fits = batch !== undefined && batch.records.length < BATCH_RECORDS_MAX;
    if (fits && batch.tablet === one.tablet && batch.sending === sending) batch.records.push(record);
    else {
      const receivedAt = Math.min((sending + 1) * SENDING_MS, endsAt);
      batches.push({ tablet: one.tablet, receivedAt, sending, records: [record] });
    }
  }
  return batches;
}

interface Sent {
  readonly written: Written;
  readonly seq: number;
  /** In which sending it left. */
  readonly sending: number;
  /** Every sending before this one had been read when the record was made. */
  readonly readTo: number;
}

function inSequence(written: readonly Written[], random: Prng): Sent[] {
  const byTablet = new Map<Tablet, Written[]>();
  for (const one of written) {
    const own = byTablet.get(one.tablet);
    if (own === undefined) byTablet.set(one.tablet, [one]);
    else own.push(one);
  }
  return [...byTablet].flatMap(([tablet, own]) => {
    let arrivedAt = 0;
    let pulledAt = 0;
    return own
      .sort((a, b) => a.trueAt - b.trueAt)
      .map((one, index) => {
        const away = tablet.outages.find((outage) => holds(outage, one.trueAt));
        arrivedAt = Math.max(arrivedAt, away?.to ?? one.trueAt + random.int(300, 4000));
        pulledAt = Math.max(pulledAt, away?.from ?? one.trueAt - random.int(500, 20_000));
        return {
          written: one,
          seq: index + 1,
          sending: Math.floor(arrivedAt / SENDING_MS),
          readTo: Math.floor(pulledAt / SENDING_MS),
        };
      });
  });
}

/** How many records were in the sendings before a given one. */
function headsBefore(sent: readonly Sent[]): (sending: number) => number {
  const firsts = new Map<number, number>();
  for (const [index, { sending }] of sent.entries()) if (!firsts.has(sending)) firsts.set(sending, index);
  const sendings = [...firsts.keys()];
  let head = 0;
  const first = sendings[0] ?? 0;
  const heads = new Map<number, number>();
  for (let sending = sendings.at(-1) ?? first; sending >= first; sending -= 1) {
    head = firsts.get(sending) ?? heads.get(sending + 1) ?? sent.length;
    heads.set(sending, head);
  }
  return (sending) => (sending <= first ? 0 : (heads.get(sending) ?? sent.length));
}

function holds({ from, to }: Span, instant: Instant): boolean {
  return from <= instant && instant < to;
}

/** The pair that a draft is about, or null. */
export function pairIn(draft: Draft): PairId | null {
  return 'pair' in draft ? draft.pair : null;
}

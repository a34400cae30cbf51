/**
 * A workshop in a shift whose figures are known: six pairs stand before sole laying, one has gone through it in 20 minutes,
 * and one was clocked in there yesterday and never out.
 */
import type { ShiftRule } from '../../src/domain/calendar/calendar.ts';
import { asBenchId, asOperativeId, asStageCode, type PairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { changeCalendar } from '../../src/server/shift-renewal.ts';
import { clockTime } from '../../src/words/format.ts';
import { handAt, LAY, RUTH, SITE, TOMASZ } from './builders.ts';
import type { Site } from './site.ts';

const ZONE = 'Europe/London';
const LAYING = asBenchId('bench-laying');
const BEFORE_LAYING = 'TRI CLN PUL RIB FND LAS WRP WLT INT BEA SEA SHK CRK PRP HBL'
  .split(' ')
  .map(asStageCode);

export const WAITING = 6;
export const SHIFT_NAME = 'Known';

export interface KnownShift {
  /** Laid from 60 to 40 minutes ago, by a hand that was let through to it. */
  readonly laid: PairId;
  /** Clocked in yesterday, and never out. */
  readonly missed: PairId;
  readonly waiting: readonly PairId[];
}

/** The shift began at most six hours and a minute ago and runs for three hours more, at whatever hour the test is run. */
export async function knownShift(site: Site): Promise<KnownShift> {
  const now = Date.now();
  await site.changeBook((book) => ({
    ...book,
    operatives: book.operatives.map((one) => ({ ...one, released: null })),
    benches: [...book.benches, { bench: LAYING, name: 'Laying', stages: [LAY] }],
  }));
  const pairs: PairId[] = [];
  for (let many = 0; many < WAITING + 2; many += 1)
    pairs.push(await site.logPairAs({ route: 1, yes: 'given', last: String(60 + many) }));
  const [laid, missed, ...waiting] = pairs;
  if (laid === undefined || missed === undefined) throw new Error('no pairs');
  await withLedger(site, async (ledger) => {
    await changeCalendar(ledger, SITE, now, (calendar) => ({
      ...calendar,
      versions: [{ since: null, rules: [ruleAround(now)] }],
    }));
    const records = [...made(pairs, now), ...work(laid, missed, now)];
    for (const record of records) {
      const place = { site: SITE, bench: record.bench, place: 'bench' } as const;
      const [answer] = await ledger.append(place, [record], now);
      if (answer?.answer !== 'stored') throw new Error(JSON.stringify(answer));
    }
  });
  return { laid, missed, waiting };
}

function ruleAround(now: Instant): ShiftRule {
  const wall = (at: Instant) => clockTime(at, ZONE);
  return {
    name: SHIFT_NAME,
    days: [1, 2, 3, 4, 5, 6, 7],
    from: wall(now - 6 * HOUR_MS),
    to: wall(now + 3 * HOUR_MS),
    breaks: [],
  };
}

/** What came before was done and not scanned, two days ago. */
function made(pairs: readonly PairId[], now: Instant): readonly LedgerRecord[] {
  const making = handAt(asBenchId('bench-making'), asOperativeId('op-ines'), now - 2 * DAY_MS);
  return pairs.flatMap((pair) =>
    BEFORE_LAYING.map((stage) => making.write('done-unscanned', { pair, stage })),
  );
}

function work(laid: PairId, missed: PairId, now: Instant): readonly LedgerRecord[] {
  const laying = handAt(LAYING, TOMASZ, now);
  const on = laying.write('badged-on', { at: now - 62 * MINUTE_MS });
  const left = laying.write('clocked-in', { pair: missed, stage: LAY, at: now - 26 * HOUR_MS });
  const word = laying.write('let-through', {
    pair: laid,
    stage: LAY,
    past: 'not-released',
    hand: TOMASZ,
    by: RUTH,
    at: now - 61 * MINUTE_MS,
  });
  const began = laying.write('clocked-in', { pair: laid, stage: LAY, at: now - 60 * MINUTE_MS });
  const ended = laying.write('clocked-out', {
    pair: laid,
    stage: LAY,
    of: began.id,
    at: now - 40 * MINUTE_MS,
  });
  return [left, on, word, began, ended].map((record, index) => ({ ...record, seq: index + 1 }));
}

async function withLedger(
  site: Site,
  work: (ledger: Awaited<ReturnType<typeof openSqliteLedger>>) => Promise<void>,
): Promise<void> {
  const ledger = await openSqliteLedger(site.ledgerFile);
  try {
    await work(ledger);
  } finally {
    await ledger.close();
  }
}

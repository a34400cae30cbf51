/**
 * The shift sheet out of a small ledger, a large one and a very large one: the same shift each time. Beside it the leanest
 * SQL for one of its columns, and what it takes to compute the facts the first time.
 */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { largeLedger } from '../../demo-data/records.ts';
import { seedDemo } from '../../demo-data/seed.ts';
import { SITE_ID } from '../../demo-data/workshop.ts';
import type { ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import { shiftsBetween } from '../../src/domain/calendar/shifts-between.ts';
import { total } from '../../src/domain/figures/member.ts';
import { asBenchId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import type { Asked } from '../../src/server/sheet/asked.ts';
import { Sheets } from '../../src/server/sheet/sheets.ts';
import { type Figure, quantile, round, type Values } from './figure.ts';
import { OlderHistory } from './older-history.ts';

export const SOME_SIZES = [100_000, 1_000_000] as const;
export const ALL_SIZES = [...SOME_SIZES, 5_000_000] as const;
const OPEN_PAIRS = 400;
const MONTH_RECORDS = 100_000;
const WARM_UP = 2;
const RUNS = 9;
/** Shown to whoever asks, so no bench of the workshop. */
const DESK = asBenchId('bench-that-asks');

/** @param sizes records in the ledger, smallest first */
export async function shiftSheetFigure(
  folder: string,
  sizes: readonly number[] = SOME_SIZES,
  say: (what: string) => void = () => {},
): Promise<Figure> {
  const file = join(folder, 'history.sqlite');
  const endsAt = Date.now();
  const workshop = largeLedger({ pairs: OPEN_PAIRS, records: MONTH_RECORDS, endsAt });
  const first = await openSqliteLedger(file);
  await seedDemo({ ledger: first, workshop });
  await first.close();

  const values: Record<string, number> = {};
  const sql: number[] = [];
  let counted = '';
  const history = new OlderHistory(file, SITE_ID);
  for (const size of sizes) {
    const records = history.fill(size);
    const measured = await measure(file, endsAt);
    const name = short(size);
    values[`${name}_ms`] = measured.sheetMs;
    values[`${name}_facts_s`] = measured.factsS;
    sql.push(measured.sqlMs);
    counted = measured.counted;
    say(
      `${records} records: sheet ${measured.sheetMs} ms, facts computed the first time in ${measured.factsS} s`,
    );
  }
  const sheets = sizes.map((size) => values[`${short(size)}_ms`] ?? Number.NaN);
  const [smallest = Number.NaN, largest = Number.NaN] = [sheets[0], sheets.at(-1)];
  const sqlMs = round(quantile(sql, 0.5));
  return {
    unit: 'ms',
    values: {
      ...values,
      ms: largest,
      ratio_to_smallest: round(largest / smallest),
      ratio_to_sql: round(largest / sqlMs),
      heap_mb: round(process.memoryUsage().heapUsed / 1e6),
    },
    budget: { ms: 300, ratio_to_smallest: 1.5 } satisfies Values,
    baseline: {
      is: 'one SQL statement for pairs out per stage in that shift, by the index of times',
      values: { ms: sqlMs },
    },
    runs: RUNS,
    how:
      `The last whole shift (${counted}) out of ${sizes.map(short).join(', ')} records on SQLite, figures caught up, nothing ` +
      'kept from the sheet before; median. «facts»: all pairs’ facts computed anew, once for each size.',
  };
}

async function measure(file: string, now: number) {
  const ledger = await openSqliteLedger(file);
  try {
    const standing = await ledger.standing(SITE_ID, DESK);
    const book = await ledger.book(SITE_ID);
    if (standing === null || book === null) throw new Error('the site is not there');
    const asked: Asked = { standing, book, calendar: await ledger.calendar(SITE_ID), now };
    const before = await ledger.factsHead(SITE_ID);
    await ledger.beginFacts(SITE_ID, before, { epoch: standing.epoch, stamp: 'to be computed anew' });
    const from = performance.now();
    const computing = new Sheets(ledger, SITE_ID);
    while ((await computing.ready(asked)) !== null);
    const factsS = round((performance.now() - from) / 1000);

    const shift = lastWhole(asked);
    const took: number[] = [];
    let counted = '';
    for (let run = -WARM_UP; run < RUNS; run += 1) {
      // A new one each time: it keeps the sheets it has computed.
      const sheets = new Sheets(ledger, SITE_ID);
      const start = performance.now();
      if ((await sheets.ready(asked)) !== null) throw new Error('the facts are not caught up');
      const sheet = await sheets.sheet(asked, shift);
      if (run >= 0) took.push(performance.now() - start);
      const out = sheet.stages.reduce((sum, stage) => sum + total(stage.out), 0);
      counted = `${out} stages finished on ${sheet.pairs.length} pairs`;
      if (out === 0) throw new Error('a sheet without work would be quick');
    }
    return { factsS, sheetMs: round(quantile(took, 0.5)), sqlMs: bareSql(file, shift), counted };
  } finally {
    await ledger.close();
  }
}

function lastWhole({ calendar, book, now }: Asked): ShiftSpan {
  const shifts = shiftsBetween(calendar, book.timeZone, now - 7 * DAY_MS, now);
  const last = shifts.findLast(({ from, to }) => to <= now && to - from > HOUR_MS);
  if (last === undefined) throw new Error('there was no shift in the last week');
  return last;
}

/** No corrections, no halves, nothing sent back: only what an index can count. */
function bareSql(file: string, { from, to }: ShiftSpan): number {
  const db = new Database(file, { readonly: true });
  const statement = db.prepare(
    `select stage, count(distinct pair) from records
     where site = ? and kind = 'clocked-out' and at >= ? and at < ? and json_extract(json, '$.outcome') = 'done'
     group by stage`,
  );
  const took: number[] = [];
  for (let run = -WARM_UP; run < RUNS; run += 1) {
    const start = performance.now();
    statement.all(SITE_ID, from, to);
    if (run >= 0) took.push(performance.now() - start);
  }
  db.close();
  return round(quantile(took, 0.5));
}

function short(size: number): string {
  return size >= 1_000_000 ? `${size / 1_000_000}M` : `${size / 1_000}k`;
}

/** In a page of the app's origin: the tablet's ledger over what the app has put in its store. */
import './without-eval.ts';
import { placeOf } from '../../../src/domain/cursor.ts';
import { draft } from '../../../src/domain/drafts.ts';
import type { PairId } from '../../../src/domain/ids.ts';
import type { Draft } from '../../../src/domain/record/kinds.ts';
import { newRecordId } from '../../../src/tablet/device/ids.ts';
import { IdbLedger } from '../../../src/tablet/ledger/idb-ledger.ts';
import { LEDGER_CHANNEL } from '../../../src/tablet/ledger/notices.ts';
import { rowOfRecord } from '../../../src/tablet/ledger/record-row.ts';
import { bareStore, writeStrictly } from './bare-store.ts';

/** As many as a page of a snapshot. */
const ROWS_AT_ONCE = 1_500;
const DRAFTS_AT_ONCE = 200;

let opened: IdbLedger | null = null;

function theLedger(): IdbLedger {
  opened ??= new IdbLedger({ channel: new BroadcastChannel(LEDGER_CHANNEL) });
  return opened;
}

const ledgerProbe = {
  /** Commits a clock-in of `pair`, then writes the same row into a store without indexes; milliseconds of each. */
  async commit(pair: PairId): Promise<{ readonly commitMs: number; readonly bareMs: number }> {
    const draft = (await clockingIn())(pair);
    const store = await bareStore();
    const at = performance.now();
    const [record] = await theLedger().commit([draft]);
    const commitMs = performance.now() - at;
    if (record === undefined) throw new Error(`the clock-in of ${pair} was not made`);
    const row = rowOfRecord(record);
    const bareAt = performance.now();
    await writeStrictly(store, row);
    return { commitMs, bareMs: performance.now() - bareAt };
  },

  /** Position of the last record that the tablet has got from the server, 0 for none. */
  async readTo(): Promise<number> {
    const { cursor } = await theLedger().settings();
    return placeOf(cursor)?.pos ?? 0;
  },

  /** False too while the tablet is not set up. */
  async readIn(): Promise<boolean> {
    return (await theLedger().settings()).readIn;
  },

  /** How many records the tablet holds of pairs. */
  async records(): Promise<number> {
    let records = 0;
    for await (const slice of theLedger().everyPair())
      for (const { placed } of slice) records += placed.length;
    return records;
  },

  /** Milliseconds that it takes to write so many rows like the ledger's into a store without an index. */
  async bareMs(rows: number): Promise<number> {
    const store = await bareStore();
    const row = await anyRow();
    const from = performance.now();
    for (let left = rows; left > 0; left -= ROWS_AT_ONCE)
      await writeStrictly(store, ...Array<unknown>(Math.min(left, ROWS_AT_ONCE)).fill(row));
    return performance.now() - from;
  },

  /** Clocks these pairs in, one after the other and again, until so many records are made. */
  async record(pairs: readonly PairId[], records: number): Promise<void> {
    const clockIn = await clockingIn();
    for (let made = 0; made < records; made += DRAFTS_AT_ONCE) {
      const count = Math.min(DRAFTS_AT_ONCE, records - made);
      const some = Array.from({ length: count }, (_, index) => pairs[(made + index) % pairs.length]);
      await theLedger().commit(some.flatMap((pair) => (pair === undefined ? [] : [clockIn(pair)])));
    }
  },

  /** How many records the server has not confirmed. */
  async waiting(): Promise<number> {
    return (await theLedger().outbox()).waiting;
  },
};

async function clockingIn(): Promise<(pair: PairId) => Draft> {
  const { enrolment, stages, book } = await theLedger().settings();
  const [stage] = stages;
  if (enrolment === null || stage === undefined) throw new Error('the tablet is not set up');
  const { site, bench } = enrolment;
  const by = book?.operatives[0]?.id ?? null;
  const wall = { ms: Date.now(), offsetMs: 0, known: true };
  const making = { site, bench, by, wall, newId: () => newRecordId() };
  return (pair) => draft(making, 'clocked-in', { pair, stage, shoe: 'both', unknownPair: false });
}

async function anyRow(): Promise<unknown> {
  for await (const [first] of theLedger().everyPair()) {
    const record = first?.placed[0]?.record;
    if (record !== undefined) return rowOfRecord(record);
  }
  throw new Error('the tablet holds no pair');
}

declare global {
  interface Window {
    ledgerProbe: typeof ledgerProbe;
  }
}
window.ledgerProbe = ledgerProbe;

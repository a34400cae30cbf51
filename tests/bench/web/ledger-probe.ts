/** In a page of the app's origin: the tablet's ledger over what the app has put in its store. */
import './without-eval.ts';
import { placeOf } from '../../../src/domain/cursor.ts';
import { clockedIn } from '../../../src/domain/drafts.ts';
import type { PairId } from '../../../src/domain/ids.ts';
import type { Draft } from '../../../src/domain/record/kinds.ts';
import { newRecordId } from '../../../src/tablet/device/ids.ts';
import { IdbLedger } from '../../../src/tablet/ledger/idb-ledger.ts';
import { LEDGER_CHANNEL } from '../../../src/tablet/ledger/notices.ts';
import { rowOfRecord } from '../../../src/tablet/ledger/record-row.ts';
import { bareStore, writeStrictly } from './bare-store.ts';

let opened: IdbLedger | null = null;

function theLedger(): IdbLedger {
  opened ??= new IdbLedger({ channel: new BroadcastChannel(LEDGER_CHANNEL) });
  return opened;
}

const ledgerProbe = {
  /** Commits a clock-in of `pair`, then writes the same row into a store without indexes; milliseconds of each. */
  async commit(pair: PairId): Promise<{ readonly commitMs: number; readonly bareMs: number }> {
    const draft = await clockIn(pair);
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

  /** How many records the server has not confirmed. */
  async waiting(): Promise<number> {
    return (await theLedger().outbox()).waiting;
  },
};

async function clockIn(pair: PairId): Promise<Draft> {
  const { enrolment, stages, book } = await theLedger().settings();
  const [stage] = stages;
  if (enrolment === null || stage === undefined) throw new Error('the tablet is not set up');
  const { site, bench } = enrolment;
  const by = book?.operatives[0]?.id ?? null;
  const wall = { ms: Date.now(), offsetMs: 0, known: true };
  return clockedIn({ site, bench, by, wall, newId: () => newRecordId() }, pair, stage, false);
}

declare global {
  interface Window {
    ledgerProbe: typeof ledgerProbe;
  }
}
window.ledgerProbe = ledgerProbe;

/**
 * How fast the server takes records: over HTTP, in the batches that a tablet with a long outbox sends, judged, hashed
 * and made durable; beside the same rows put bare into the same tables.
 */
import { randomBytes } from 'node:crypto';
import { mkdtempSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asBenchId, asRecordId, type BenchId } from '../../src/domain/ids.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { uuidv7 } from '../../src/domain/uuid.ts';
import { openDurably, openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { PUSH_RECORDS_MAX, pushAnswerSchema } from '../../src/wire/push.ts';
import { handAt, MONDAY_8 } from '../support/builders.ts';
import { newSiteOf } from '../support/server.ts';
import { enrolAt, type ServerProcess, startServer } from '../support/server-process.ts';
import { type Figure, quantile, round } from './figure.ts';

/** Each tablet sends one batch after the other. */
const TABLETS = 4;
const BATCHES = 25;
const RECORDS = TABLETS * BATCHES * PUSH_RECORDS_MAX;
const WARM_UP = 1;
const RUNS = 5;
const KINDS = ['badged-on', 'clocked-in', 'noted', 'clocked-out', 'set-aside'] as const;

export interface IngestServer {
  readonly process: ServerProcess;
  readonly tablets: readonly {
    readonly authorization: string;
    write(count: number): readonly LedgerRecord[];
  }[];
  close(): Promise<void>;
}

/** The server as it is run, in a process of its own, on a new ledger. */
export async function openIngest(folder: string): Promise<IngestServer> {
  const data = mkdtempSync(join(folder, 'ingest-'));
  const server = await startServer({ environment: { WAXEND_DATA: data } });
  const ledger = await openSqliteLedger(join(data, 'ledger.sqlite'));
  const tablets = [];
  for (let number = 1; number <= TABLETS; number += 1) {
    const { bench, authorization } = await enrolAt(server.url, ledger, { name: `Bench ${number}` });
    tablets.push({ authorization, write: writerOf(bench) });
  }
  await ledger.close();
  return { process: server, tablets, close: async () => void (await server.end('SIGKILL')) };
}

export async function ingest(folder: string, server: IngestServer): Promise<Figure> {
  const [overHttp, bare]: [number[], number[]] = [[], []];
  const inserts = await openBare(folder);
  for (let run = -WARM_UP; run < RUNS; run += 1) {
    // One after the other, so that what else the machine does falls on both.
    const bareMs = inserts.run();
    const httpMs = await pushes(server);
    if (run < 0) continue;
    bare.push((RECORDS / bareMs) * 1000);
    overHttp.push((RECORDS / httpMs) * 1000);
  }
  inserts.close();
  const ratios = overHttp.map((speed, run) => speed / (bare[run] ?? Number.NaN));
  return {
    unit: 'records/s',
    values: {
      records_per_s: Math.round(quantile(overHttp, 0.5)),
      ratio_to_raw: Math.round(quantile(ratios, 0.5) * 100) / 100,
    },
    budget: {},
    least: { ratio_to_raw: 0.5 },
    baseline: {
      is: 'the same rows by one prepared insert, 200 a transaction, into the same tables and indexes with the same settings',
      values: { records_per_s: Math.round(quantile(bare, 0.5)) },
    },
    runs: RUNS,
    how: `${TABLETS} tablets push ${RECORDS} records in batches of ${PUSH_RECORDS_MAX} over HTTP on this machine, each batch durable when answered; median run.`,
  };
}

/** The most memory that the server's process has held so far. @throws Error where there is no such account (Linux has) */
export function memory({ process: { pid } }: IngestServer): Figure {
  const [, peak] = /^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8')) ?? [];
  return {
    unit: 'MB',
    values: { rss_mb: round(Number(peak) / 1024) },
    budget: {},
    baseline: null,
    runs: 1,
    how: 'Peak resident memory of the server process, with the compiler that it is started through, under the load of ingest.',
  };
}

/** Ids as tablets draw them, with the time in front: that is how they lie in the index. */
function writerOf(bench: BenchId) {
  const hand = handAt(bench);
  let at = MONDAY_8;
  return (count: number) =>
    Array.from({ length: count }, (_, index) => {
      at += MINUTE_MS;
      const id = asRecordId(uuidv7(at, randomBytes(10)));
      return hand.write(KINDS[index % KINDS.length] ?? 'noted', { id, at });
    });
}

/** Milliseconds until every record is confirmed. Bodies are made before the clock starts. */
async function pushes({ process: { url }, tablets }: IngestServer): Promise<number> {
  const loads = tablets.map(({ authorization, write }) => ({
    headers: { 'content-type': 'application/json', authorization },
    bodies: Array.from({ length: BATCHES }, () => JSON.stringify({ records: write(PUSH_RECORDS_MAX) })),
  }));
  const answers: string[] = [];
  // The server hangs up on who says nothing for five seconds, and a connection may be closing as we begin.
  await Promise.all(loads.map(() => fetch(`${url}/api/health`).catch(() => {})));
  const from = performance.now();
  await Promise.all(
    loads.map(async ({ headers, bodies }) => {
      for (const body of bodies) {
        answers.push(await (await fetch(`${url}/api/push`, { method: 'POST', headers, body })).text());
      }
    }),
  );
  const ms = performance.now() - from;
  for (const answer of answers) {
    const { answers: each } = pushAnswerSchema.parse(JSON.parse(answer));
    if (each.some((one) => one.answer !== 'stored')) throw new Error('a record was not stored');
  }
  return ms;
}

/** The same rows into the same tables, and nothing of ours before them; the file grows with each run, as the server's. */
async function openBare(folder: string) {
  const file = join(mkdtempSync(join(folder, 'bare-')), 'ledger.sqlite');
  const ledger = await openSqliteLedger(file);
  await ledger.createSite(newSiteOf());
  await ledger.close();
  const database = openDurably(file);
  const columns = 'site, pos, id, bench, seq, at, kind, v, pair, stage, "by", received_at, hash, json';
  const insert = database.prepare(
    `insert into records (${columns}) values (${columns.replace(/[^,]+/g, '?')})`,
  );
  const insertAll = database.transaction((rows: readonly ReturnType<typeof rowOf>[]) => {
    for (const row of rows) insert.run(row);
  });
  const writers = Array.from({ length: TABLETS }, (_, index) => writerOf(asBenchId(`b-${index}`)));
  let pos = 0;
  return {
    /** Milliseconds. */
    run(): number {
      const loads = writers.map((write) => write(BATCHES * PUSH_RECORDS_MAX));
      const batches = Array.from({ length: BATCHES }, (_, batch) =>
        loads.map((load) => load.slice(batch * PUSH_RECORDS_MAX, (batch + 1) * PUSH_RECORDS_MAX)),
      );
      const rows = batches.flat().map((batch) => batch.map((record) => rowOf(record, ++pos)));
      const from = performance.now();
      for (const some of rows) insertAll.immediate(some);
      return performance.now() - from;
    },
    close: () => database.close(),
  };
}

function rowOf(record: LedgerRecord, pos: number): readonly (string | number | null)[] {
  const { site, id, bench, seq, at, kind, v, by } = record;
  const pair = 'pair' in record ? record.pair : null;
  const stage = 'stage' in record ? record.stage : null;
  const json = JSON.stringify(record);
  return [site, pos, id, bench, seq, at, kind, v, pair, stage, by, MONDAY_8, codeHash(json), json];
}

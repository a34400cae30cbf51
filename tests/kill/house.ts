/** The servers of a kill test and the store behind them: started, killed and started again. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Prng } from '../../demo-data/prng.ts';
import { openLedger, type Store } from '../../src/server/ledger/open-ledger.ts';
import { testPostgres } from '../support/postgres.ts';
import { type PostgresCluster, postgresPrograms, startPostgres } from '../support/postgres-cluster.ts';
import { enrolAt, type ServerProcess, startServer } from '../support/server-process.ts';
import type { Tablet } from './pusher.ts';

export type Victim = 'server' | 'backend';

export interface House {
  /** Where a server listens that was not killed just now. */
  address(): string;
  enrol(names: readonly string[]): Promise<readonly Tablet[]>;
  /** Kills one, and starts a server again that was killed. */
  kill(victim: Victim): Promise<void>;
  /** How many servers ended by themselves: no kill of a session is a reason to. */
  readonly fell: number;
  close(): Promise<void>;
}

/** One server on a file: SQLite. Its folder is new and goes with the house. */
export async function sqliteHouse(chance: Prng): Promise<House> {
  const folder = mkdtempSync(join(tmpdir(), 'waxend-kill-'));
  const store: Store = { is: 'sqlite', file: join(folder, 'ledger.sqlite') };
  return openHouse({
    store,
    environment: { WAXEND_DATA: folder },
    servers: 1,
    chance,
    killBackend: async () => {
      throw new Error('SQLite has no sessions to kill');
    },
    close: () => rmSync(folder, { recursive: true, force: true }),
  });
}

/** Two servers on a PostgreSQL of its own, since a killed session brings all others of the cluster down. */
export async function postgresHouse(chance: Prng): Promise<House> {
  const programs = postgresPrograms();
  if (programs === null) throw new Error('PostgreSQL is not here');
  const cluster: PostgresCluster = startPostgres(programs);
  try {
    const postgres = testPostgres(cluster.url());
    const url = await postgres.database();
    return await openHouse({
      store: { is: 'postgres', url },
      environment: { DATABASE_URL: url },
      servers: 2,
      chance,
      killBackend: async () => {
        const rows = await postgres.run(
          `select pid from pg_stat_activity where application_name = 'waxend server'
           order by state = 'idle', random() limit 1`,
        );
        const [row] = rows;
        if (row === undefined) throw new Error('there is no session to kill');
        process.kill(Number(row.pid), 'SIGKILL');
      },
      close: () => cluster.stop(),
    });
  } catch (cause) {
    cluster.stop();
    throw cause;
  }
}

interface Making {
  readonly store: Store;
  readonly environment: Readonly<Record<string, string>>;
  readonly servers: number;
  readonly chance: Prng;
  readonly killBackend: () => Promise<void>;
  readonly close: () => void;
}

async function openHouse({
  store,
  environment,
  servers,
  chance,
  killBackend,
  close,
}: Making): Promise<House> {
  const running: ServerProcess[] = [];
  for (let number = 0; number < servers; number += 1) running.push(await startServer({ environment }));
  let asked = 0;
  let fell = 0;

  const startAgain = async (place: number): Promise<void> => {
    running[place] = await startServer({ environment });
  };
  return {
    address: () => running[asked++ % running.length]?.url ?? '',
    async enrol(names) {
      const ledger = await openLedger(store, 'waxend office');
      try {
        const tablets: Tablet[] = [];
        for (const name of names) tablets.push(await enrolAt(running[0]?.url ?? '', ledger, { name }));
        return tablets;
      } finally {
        await ledger.close();
      }
    },
    async kill(victim) {
      if (victim === 'backend') await killBackend();
      else {
        const place = chance.int(0, running.length - 1);
        const code = await running[place]?.end('SIGKILL');
        if (typeof code === 'number') fell += 1;
        await startAgain(place);
      }
      for (const [place, server] of running.entries()) {
        if (server.alive()) continue;
        fell += 1;
        await startAgain(place);
      }
    },
    get fell() {
      return fell;
    },
    async close() {
      for (const server of running) await server.end('SIGKILL');
      close();
    },
  };
}

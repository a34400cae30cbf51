/** The real server over a real ledger in memory, with a clock and random bytes that the test holds. */
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asSiteId, type BenchId, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS, type Instant } from '../../src/domain/instant.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { Announcer } from '../../src/server/announcer.ts';
import { createApp } from '../../src/server/app.ts';
import type { NewSite, Place, ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { DEFAULT_CONFIG, type ServerConfig, type ServerParts } from '../../src/server/parts.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { EPOCH, MONDAY_8, SITE, siteBook, WLT } from './builders.ts';

export const DATASET = 'dataset-of-aldermoor';

export function newSiteOf(told: Partial<SiteBook> = {}): NewSite {
  return { book: siteBook({ benches: [], ...told }), calendar: NO_CALENDAR, dataset: DATASET, epoch: EPOCH };
}

export interface TestServerOptions {
  readonly ledger?: ServerLedger;
  readonly config?: Partial<ServerConfig>;
  readonly book?: Partial<SiteBook>;
}

/** What was logged, and the server's hands on its world. */
export interface TestServer extends Omit<ServerParts, 'clock'> {
  readonly app: ReturnType<typeof createApp>;
  readonly logged: string[];
  now: Instant;
  fetch(path: string, init?: RequestInit & { key?: string }): Promise<Response>;
  /** Adds a set-up code and enrols with it. */
  enrol(place?: Place, stages?: readonly StageCode[]): Promise<TestBench>;
}

export interface TestBench {
  readonly bench: BenchId;
  readonly key: string;
  push(records: readonly unknown[], init?: RequestInit): Promise<Response>;
  get(path: string): Promise<Response>;
}

export async function testServer(options: TestServerOptions = {}): Promise<TestServer> {
  const ledger = options.ledger ?? (await openSqliteLedger(':memory:'));
  if (!(await ledger.sites()).includes(SITE)) await ledger.createSite(newSiteOf(options.book));
  const logged: string[] = [];
  let drawn = 0;
  let codes = 0;
  const parts = {
    ledger,
    clock: () => server.now,
    random: (bytes: number) => {
      drawn += 1;
      return Uint8Array.from(Buffer.from(codeHash(`draw ${drawn}`).repeat(4), 'hex')).slice(0, bytes);
    },
    announcer: new Announcer(),
    log: (event: string, details: object) => logged.push(`${event} ${JSON.stringify(details)}`),
    config: { ...DEFAULT_CONFIG, ...options.config },
  };
  const app = createApp(parts);
  const server: TestServer = {
    ...parts,
    app,
    logged,
    now: MONDAY_8,
    fetch: async (path, { key, ...init } = {}) => {
      const headers = new Headers(init.headers);
      if (key !== undefined) headers.set('authorization', `Bearer ${key}`);
      return app.request(path, { ...init, headers });
    },
    enrol: async (place = 'bench', stages = [WLT]) => {
      const token = `code-${++codes}`;
      const name = `Tablet ${codes}`;
      const code = { hash: codeHash(token), name, place, stages, until: server.now + DAY_MS, uses: 1 };
      await ledger.addSetUpCode(asSiteId(SITE), code);
      const { bench, key } = enrolAnswerSchema.parse(
        await (await server.fetch('/api/enrol', json({ token, persisted: true }))).json(),
      );
      return {
        bench,
        key,
        push: (records, init) => server.fetch('/api/push', { ...json({ records }), ...init, key }),
        get: (path) => server.fetch(path, { key }),
      };
    },
  };
  return server;
}

/** A POST of JSON. */
export function json(body: unknown): RequestInit {
  return { method: 'POST', body: JSON.stringify(body), headers: { 'content-type': 'application/json' } };
}

/** What the server is put together from. `main.ts` and the tests give it; nothing below reaches for a clock or a file. */
import type { HttpBindings } from '@hono/node-server';
import type { Context } from 'hono';
import type { Instant } from '../domain/instant.ts';
import type { Announcer } from './announcer.ts';
import type { BenchEntry, ServerLedger } from './ledger/ledger.ts';
import type { Log } from './log.ts';

export interface ServerConfig {
  /** Folder of the built pages; null for a server that answers the interface alone. */
  readonly staticFolder: string | null;
  /** Served over TLS: browsers are then told to come no other way. */
  readonly https: boolean;
  /**
   * Demands Trusted Types of scripts. A page under it must make every address of a worker or a service worker
   * through a policy of its own, so it is off until the pages do.
   */
  readonly trustedTypes: boolean;
  /** Pause between signs of life on a live stream, and how long one stream lives. */
  readonly liveBeatMs: number;
  readonly liveLifeMs: number;
}

export const DEFAULT_CONFIG: ServerConfig = {
  staticFolder: null,
  https: false,
  trustedTypes: false,
  liveBeatMs: 15_000,
  liveLifeMs: 10 * 60_000,
};

export interface ServerParts {
  readonly ledger: ServerLedger;
  readonly clock: () => Instant;
  /** Uniformly random bytes, fit for keys. */
  readonly random: (bytes: number) => Uint8Array;
  readonly announcer: Announcer;
  readonly log: Log;
  readonly config: ServerConfig;
}

export interface AppEnv {
  Bindings: Partial<HttpBindings>;
  Variables: {
    /** T2 of RFC 5905: taken before anything else is done. */
    receivedAt: Instant;
    /** Whose key came with the request. */
    bench: BenchEntry;
  };
}

export type AppContext = Context<AppEnv>;

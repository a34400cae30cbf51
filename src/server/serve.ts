/** Listens on a port, in the clear or over TLS, and stops without cutting off what is being written. */
import { readFileSync } from 'node:fs';
import type { Server } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { createAdaptorServer } from '@hono/node-server';
import type { Hono } from 'hono';
import type { Announcer } from './announcer.ts';
import type { AppEnv } from './parts.ts';

/** A tablet that sends its header or body more slowly than this has lost its way. */
const REQUEST_MS = 30_000;
/** How long answers under way get when the server is told to stop. */
const STOP_MS = 5_000;

export interface Listening {
  readonly url: string;
  /** Resolves when the last connection is closed; the ledger can then be closed. */
  stop(): Promise<void>;
}

export interface ListenAt {
  readonly host: string;
  readonly port: number;
  readonly tls: { readonly cert: string; readonly key: string } | null;
}

export async function listen(
  app: Hono<AppEnv>,
  announcer: Announcer,
  { host, port, tls }: ListenAt,
): Promise<Listening> {
  const limits = { requestTimeout: REQUEST_MS, headersTimeout: REQUEST_MS };
  const server = (
    tls === null
      ? createAdaptorServer({ fetch: app.fetch, serverOptions: limits })
      : createAdaptorServer({
          fetch: app.fetch,
          createServer: createTlsServer,
          serverOptions: { ...limits, cert: readFileSync(tls.cert), key: readFileSync(tls.key) },
        })
  ) as Server;
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, host, resolve);
  });
  const { port: taken } = server.address() as AddressInfo;
  return {
    url: `${tls === null ? 'http' : 'https'}://${host.includes(':') ? `[${host}]` : host}:${taken}`,
    stop: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        announcer.stopAll();
        server.closeIdleConnections();
        setTimeout(() => server.closeAllConnections(), STOP_MS).unref();
      }),
  };
}

/**
 * A proxy of the kind that gathers an answer before it passes it on: fine for everything but a stream, of which nothing
 * arrives until it has ended. Some hold back the whole answer, some its body only. Like any proxy it gives up at last.
 */
import { createServer, type IncomingMessage, request, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

const LIVE = '/api/live';
const GATEWAY_TIMEOUT = 504;
const BAD_GATEWAY = 502;

export interface BufferingProxyOptions {
  /** The server's address. */
  readonly to: () => string;
  readonly holds: 'answers' | 'bodies';
  /** After so long it ends an answer that has not ended by itself; without it never. */
  readonly patienceMs?: number;
}

export interface BufferingProxy {
  readonly url: string;
  /** Streams asked for: in all, and the most that stood at one time. */
  readonly streams: { readonly asked: number; readonly most: number };
  /** Connections that stand now. */
  readonly connections: number;
  close(): Promise<void>;
}

export async function startBufferingProxy(options: BufferingProxyOptions): Promise<BufferingProxy> {
  const streams = { asked: 0, standing: 0, most: 0 };
  let connections = 0;
  const server = createServer((asked, answer) => {
    if (asked.url === LIVE) {
      streams.asked += 1;
      streams.standing += 1;
      streams.most = Math.max(streams.most, streams.standing);
      answer.once('close', () => (streams.standing -= 1));
    }
    passOn(asked, answer, options);
  });
  server.on('connection', (connection) => {
    connections += 1;
    connection.once('close', () => (connections -= 1));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    streams,
    get connections() {
      return connections;
    },
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

function passOn(asked: IncomingMessage, answer: ServerResponse, options: BufferingProxyOptions): void {
  const { holds, to, patienceMs } = options;
  const stop = new AbortController();
  const { method, url = '/', headers } = asked;
  const onward = request(new URL(url, to()), { method, headers, signal: stop.signal }, (from) => {
    const { 'transfer-encoding': _pieces, ...head } = from.headers;
    const pieces: Buffer[] = [];
    from.on('data', (piece: Buffer) => pieces.push(piece));
    from.on('error', () => answer.destroy());
    if (holds === 'bodies') answer.writeHead(from.statusCode ?? BAD_GATEWAY, head).flushHeaders();
    from.on('end', () => {
      if (!answer.headersSent) answer.writeHead(from.statusCode ?? BAD_GATEWAY, head);
      answer.end(Buffer.concat(pieces));
    });
  });
  onward.on('error', () => refuse(answer, BAD_GATEWAY));
  asked.pipe(onward);
  const patience =
    patienceMs === undefined
      ? null
      : setTimeout(() => {
          refuse(answer, GATEWAY_TIMEOUT);
          stop.abort();
        }, patienceMs);
  answer.once('close', () => {
    if (patience !== null) clearTimeout(patience);
    // Whoever asked has gone: the server is not kept waiting for him.
    stop.abort();
  });
}

function refuse(answer: ServerResponse, status: number): void {
  if (answer.headersSent) answer.destroy();
  else answer.writeHead(status, { 'content-type': 'text/html' }).end('<!doctype html><title>gateway</title>');
}

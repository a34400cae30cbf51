/** Reads a JSON body that may be anything: too long, cut off, packed to burst, or no JSON at all. */
import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import type { MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import type { AppContext, AppEnv } from './parts.ts';
import { refuse } from './refuse.ts';

const unpack = promisify(gunzip);

/** Refuses what is no JSON by its own word, and what is longer than `bytesMax` as it comes over the wire. */
export function jsonBody(bytesMax: number): readonly [MiddlewareHandler<AppEnv>, MiddlewareHandler<AppEnv>] {
  const counted = bodyLimit({ maxSize: bytesMax, onError: (c) => tooLarge(c, bytesMax) });
  return [
    async (c, next) => {
      const type = c.req.header('content-type')?.split(';', 1)[0]?.trim().toLowerCase();
      if (type !== 'application/json') return refuse(c, 'bad-request', ['content-type: only JSON'], 415);
      return next();
    },
    async (c, next) => {
      const length = c.req.header('content-length');
      // Known beforehand it is compared at once: to look at the stream makes a whole request of what is only a length.
      if (length === undefined || c.req.header('transfer-encoding') !== undefined) return counted(c, next);
      return Number(length) > bytesMax ? tooLarge(c, bytesMax) : next();
    },
  ];
}

export type Body =
  | { readonly is: 'json'; readonly value: unknown }
  | { readonly is: 'refused'; readonly answer: Response };

/** The body as parsed, unpacked where it came by gzip (RFC 1952) but never to more than `bytesMax`. */
export async function readBody(c: AppContext, bytesMax: number): Promise<Body> {
  const refused = (answer: Response): Body => ({ is: 'refused', answer });
  const bad = (reason: string) => refused(refuse(c, 'bad-request', [`body: ${reason}`]));
  const encoding = c.req.header('content-encoding')?.trim().toLowerCase() ?? 'identity';
  if (encoding !== 'gzip' && encoding !== 'identity') {
    return refused(refuse(c, 'bad-request', ['content-encoding: only gzip or none'], 415));
  }
  let bytes: Uint8Array;
  try {
    bytes = new Uint8Array(await c.req.arrayBuffer());
  } catch {
    // The sender went away in the middle: nobody reads this answer, and it is no fault of ours.
    return bad('was cut off');
  }
  if (encoding === 'gzip') {
    try {
      bytes = await unpack(bytes, { maxOutputLength: bytesMax });
    } catch (cause) {
      const burst = cause instanceof RangeError;
      return burst ? refused(tooLarge(c, bytesMax)) : bad('is no gzip');
    }
  }
  if (bytes.length > bytesMax) return refused(tooLarge(c, bytesMax));
  try {
    return { is: 'json', value: JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes)) };
  } catch {
    return bad('is no JSON in UTF-8');
  }
}

function tooLarge(c: AppContext, bytesMax: number): Response {
  return refuse(c, 'too-large', [`body: has more than ${bytesMax} bytes`]);
}

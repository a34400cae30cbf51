/** Who asks: a bench or a desk by its own key, sent as `Authorization: Bearer` (RFC 6750), never in an address. */
import { createMiddleware } from 'hono/factory';
import { codeHash } from '../domain/code-hash.ts';
import { HEADERS } from '../wire/version.ts';
import type { Place } from './ledger/ledger.ts';
import type { AppEnv, ServerParts } from './parts.ts';
import { refuse } from './refuse.ts';

const BEARER = /^bearer +([0-9a-f]{64})$/i;

/** Lets only holders of a standing key pass, and only those at `place` where one is named. */
export function withKey({ ledger }: ServerParts, place?: Place) {
  return createMiddleware<AppEnv>(async (c, next) => {
    const key = BEARER.exec(c.req.header('authorization') ?? '')?.[1];
    if (key === undefined) return refuse(c, 'no-key');
    const bench = await ledger.benchOfKey(codeHash(key.toLowerCase()));
    if (bench === null) return refuse(c, 'no-key');
    if (bench.revokedAt !== null) return refuse(c, 'key-revoked');
    const site = c.req.header(HEADERS.site);
    if (site !== undefined && site !== bench.site) return refuse(c, 'wrong-site');
    if (place !== undefined && bench.place !== place) return refuse(c, 'not-allowed');
    c.set('bench', bench);
    return next();
  });
}

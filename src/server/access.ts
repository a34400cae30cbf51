/** Who asks: a bench or a desk by its own key, sent as `Authorization: Bearer` (RFC 6750), never in an address. */
import { createMiddleware } from 'hono/factory';
import { codeHash } from '../domain/code-hash.ts';
import { HEADERS } from '../wire/version.ts';
import type { KeyPlace } from './ledger/ledger.ts';
import type { AppEnv, ServerParts } from './parts.ts';
import { refuse } from './refuse.ts';

const BEARER = /^bearer +([0-9a-f]{64})$/i;

/** Those who work with the ledger itself. Readers have routes of their own and come nowhere else. */
const AT_WORK: readonly KeyPlace[] = ['bench', 'desk'];

/** Lets only holders of a standing key pass, and only those at one of `places` where any are named. */
export function withKey({ ledger }: ServerParts, ...places: readonly KeyPlace[]) {
  const welcome = places.length === 0 ? AT_WORK : places;
  return createMiddleware<AppEnv>(async (c, next) => {
    const key = BEARER.exec(c.req.header('authorization') ?? '')?.[1];
    if (key === undefined) return refuse(c, 'no-key');
    const bench = await ledger.benchOfKey(codeHash(key.toLowerCase()));
    if (bench === null) return refuse(c, 'no-key');
    if (bench.revokedAt !== null) return refuse(c, 'key-revoked');
    const site = c.req.header(HEADERS.site);
    if (site !== undefined && site !== bench.site) return refuse(c, 'wrong-site');
    if (!welcome.includes(bench.place)) return refuse(c, 'not-allowed');
    c.set('bench', bench);
    return next();
  });
}

/** PUT and GET /api/photo/SHA256: takes a photograph's bytes once, and gives them to any key of the same site. */
import { hash } from 'node:crypto';
import type { MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import {
  PHOTO_BYTES_MAX,
  type PhotoAnswer,
  type PhotoType,
  photoHashSchema,
  photoTypeOf,
  photoTypeSchema,
} from '../../wire/photo.ts';
import type { AppContext, AppEnv, ServerParts } from '../parts.ts';
import { refuse } from '../refuse.ts';
import { stateFor } from '../state.ts';
import { type Allowance, TokenBuckets } from '../token-buckets.ts';

/** A bench that comes back from weeks without a network sends what it has; one gone wrong cannot fill the disk in a night. */
const PER_BENCH: Allowance = { burst: 300, perMinute: 30 };

const FOR_GOOD = 'private, max-age=31536000, immutable';

/** Stops reading a photograph that is longer than one may be, as it comes over the wire. */
export const photoBody: MiddlewareHandler<AppEnv> = bodyLimit({
  maxSize: PHOTO_BYTES_MAX,
  onError: (c) => tooLarge(c),
});

export function answerPutPhoto(parts: ServerParts) {
  const { ledger, clock } = parts;
  const benches = new TokenBuckets(PER_BENCH);
  return async (c: AppContext): Promise<Response> => {
    const photo = photoHashSchema.safeParse(c.req.param('sha256'));
    if (!photo.success) return refuse(c, 'bad-request', ['sha256: is no SHA-256 in lower case']);
    const type = typeSaid(c);
    if (type === null) return refuse(c, 'bad-request', ['content-type: only JPEG, PNG or WebP'], 415);
    const bench = c.get('bench');
    const waitMs = benches.take(`${bench.site} ${bench.bench}`, clock());
    if (waitMs > 0) {
      c.header('retry-after', String(Math.ceil(waitMs / 1000)));
      return refuse(c, 'too-many-tries');
    }
    const body = await bytesOf(c);
    if (body === null) return refuse(c, 'bad-request', ['body: was cut off']);
    if (body.length > PHOTO_BYTES_MAX) return tooLarge(c);
    if (photoTypeOf(body) !== type) return refuse(c, 'bad-request', [`body: is no ${type}`]);
    if (hash('sha256', body, 'hex') !== photo.data)
      return refuse(c, 'bad-request', ['sha256: is not that of the body']);

    const answer = await ledger.keepPhoto(bench, { photo: photo.data, type, body }, c.get('receivedAt'));
    const told = { state: await stateFor(parts, c), photo: photo.data, answer } satisfies PhotoAnswer;
    // RFC 9110, section 9.3.4: a PUT that made something says so.
    return c.json(told, answer === 'stored' ? 201 : 200);
  };
}

/** Answers GET, and HEAD without the body. */
export function answerPhoto({ ledger }: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const photo = photoHashSchema.safeParse(c.req.param('sha256'));
    const held = photo.success ? await ledger.photo(c.get('bench').site, photo.data) : null;
    if (held === null) return refuse(c, 'not-found');
    return c.body(Uint8Array.from(held.body), 200, {
      'content-type': held.type,
      'content-length': String(held.body.length),
      'cache-control': FOR_GOOD,
      // Opened by itself in a tab it is kept as a file, never shown as a page of ours.
      'content-disposition': 'attachment',
    });
  };
}

function typeSaid(c: AppContext): PhotoType | null {
  // A photograph is packed already; what came packed again is not what the hash was made of.
  if ((c.req.header('content-encoding') ?? 'identity') !== 'identity') return null;
  const said = c.req.header('content-type')?.split(';', 1)[0]?.trim().toLowerCase();
  return photoTypeSchema.safeParse(said).data ?? null;
}

async function bytesOf(c: AppContext): Promise<Uint8Array | null> {
  try {
    return new Uint8Array(await c.req.arrayBuffer());
  } catch {
    // The sender went away in the middle: nobody reads this answer, and it is no fault of ours.
    return null;
  }
}

function tooLarge(c: AppContext): Response {
  return refuse(c, 'too-large', [`body: has more than ${PHOTO_BYTES_MAX} bytes`]);
}

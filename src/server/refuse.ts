import type { ContentfulStatusCode } from 'hono/utils/http-status';
import type { RefusalAnswer, RefusalKind } from '../wire/refusal.ts';
import type { AppContext } from './parts.ts';

/** Status codes of RFC 9110 (and 429 of RFC 6585) for each refusal. */
const STATUS = {
  'bad-request': 400,
  'too-large': 413,
  'no-key': 401,
  'key-revoked': 403,
  'wrong-site': 403,
  'code-unknown': 404,
  'code-used': 410,
  'too-many-tries': 429,
  'not-allowed': 403,
  'book-changed': 409,
  'not-found': 404,
  'server-fault': 500,
} as const satisfies Record<RefusalKind, ContentfulStatusCode>;

/** Answers that what was asked will not be done, and why. */
export function refuse(
  c: AppContext,
  refused: RefusalKind,
  reasons: readonly string[] = [],
  status: ContentfulStatusCode = STATUS[refused],
): Response {
  return c.json({ refused, reasons: [...reasons] } satisfies RefusalAnswer, status);
}

/** What zod found, in a few lines. */
export function reasonsOf({
  issues,
}: {
  readonly issues: readonly { readonly path: PropertyKey[]; readonly message: string }[];
}): readonly string[] {
  return issues.slice(0, 8).map(({ path, message }) => `${path.map(String).join('.') || 'body'}: ${message}`);
}

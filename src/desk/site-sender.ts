/** Sends changes of the site's book from this desk; whatever goes wrong is a value. */
import * as z from 'zod/mini';
import type { SiteId } from '../domain/ids.ts';
import type { SiteBook } from '../domain/site-book.ts';
import { refusalSchema } from '../wire/refusal.ts';
import { siteAnswerSchema } from '../wire/site.ts';
import { type SiteChangeRequest, type SiteFaults, siteFaultsSchema } from '../wire/site-change.ts';
import { HEADERS, WIRE_VERSION } from '../wire/version.ts';
import type { Trouble } from './api.ts';

/** Whose desk it is, and its key. */
export interface DeskKey {
  readonly site: SiteId;
  readonly key: string;
}

export type Sent =
  | { readonly is: 'book'; readonly book: SiteBook }
  | ({ readonly is: 'faulty' } & Pick<SiteFaults, 'faults' | 'at'>)
  | { readonly is: 'trouble'; readonly trouble: Trouble };

const ANSWER_WITHIN_MS = 15_000;

/** Answers with the book after the changes. */
export function sendSiteChanges(
  fetch: typeof globalThis.fetch,
  desk: DeskKey,
  request: SiteChangeRequest,
): Promise<Sent> {
  return ask(fetch, desk, '/api/site/change', {
    method: 'POST',
    body: JSON.stringify(request),
    headers: { 'content-type': 'application/json' },
  });
}

/** The book as it stands at the server. */
export function fetchSiteBook(fetch: typeof globalThis.fetch, desk: DeskKey): Promise<Sent> {
  return ask(fetch, desk, '/api/site', {});
}

async function ask(
  fetch: typeof globalThis.fetch,
  { site, key }: DeskKey,
  path: string,
  init: { readonly method?: string; readonly body?: string; readonly headers?: Record<string, string> },
): Promise<Sent> {
  const headers = {
    ...init.headers,
    authorization: `Bearer ${key}`,
    [HEADERS.wire]: String(WIRE_VERSION),
    [HEADERS.site]: site,
  };
  const signal = AbortSignal.timeout(ANSWER_WITHIN_MS);
  let json: unknown;
  try {
    json = await (await fetch(path, { cache: 'no-store', ...init, headers, signal })).json();
  } catch (cause) {
    // No JSON is some proxy's page; anything else is the network or the time limit.
    return { is: 'trouble', trouble: cause instanceof SyntaxError ? 'not-understood' : 'unreachable' };
  }
  return read(json);
}

const answerSchema = z.union([siteAnswerSchema, siteFaultsSchema, refusalSchema]);

function read(json: unknown): Sent {
  const answer = answerSchema.safeParse(json).data;
  if (answer === undefined) return { is: 'trouble', trouble: 'not-understood' };
  if ('book' in answer) return { is: 'book', book: answer.book };
  if ('faults' in answer) return { is: 'faulty', faults: answer.faults, at: answer.at };
  return { is: 'trouble', trouble: answer.refused };
}

/** GET /api/read/v1/exports/…: tables and logs of some days, as files that stream. */
import { readExportQuerySchema } from '../../wire/read.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { askingOf, NAMES_ARE_FOR_DESKS } from '../read/asking.ts';
import { dayRange } from '../read/days.ts';
import type { Export } from '../read/exports.ts';
import { type OneAtATime, streamed } from '../read/streamed.ts';
import { reasonsOf, refuse } from '../refuse.ts';

/** In seconds: how soon to ask again while another export is under way. */
const ASK_AGAIN = '10';

export function answerExport(parts: ServerParts, { file, type, text }: Export, underway: OneAtATime) {
  const { ledger, log } = parts;
  return async (c: AppContext): Promise<Response> => {
    const query = readExportQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const asking = await askingOf(parts, c, query.data.hands);
    if (asking === null) return refuse(c, 'not-allowed', [NAMES_ARE_FOR_DESKS]);
    const { site, standing, view, book } = asking;
    // With names and times together anybody could make the figures about persons that the site has chosen not to have.
    if (query.data.hands === 'names' && !book.personal.figures)
      return refuse(c, 'not-allowed', ['hands: the site has no figures about single persons']);
    const { from, to } = query.data;
    const range = dayRange({ from, to }, book.timeZone);
    if (range === null) return refuse(c, 'bad-request', ['to: lies before from']);

    const headers = attached(`${site}-${from}-to-${to}-${file}`, type);
    // Nobody would read the stream, and it would wait for its reader.
    if (c.req.raw.method === 'HEAD') return c.body(null, 200, headers);
    const ended = underway.begin(c.get('bench').bench);
    if (ended === null) {
      c.header('retry-after', ASK_AGAIN);
      return refuse(c, 'too-many-tries', ['exports: one at a time for each key']);
    }
    // Also where whoever asked went away before there was anything to read.
    c.req.raw.signal.addEventListener('abort', ended);
    const pieces = text({ ledger, site, standing, range, view, siteName: book.name });
    return c.body(streamed(pieces, log, ended), 200, headers);
  };
}

/** Kept as a file, never shown as a page of ours, and held by no cache. @param name of plain letters alone */
export function attached(name: string, type: string): Record<string, string> {
  return {
    'content-type': type,
    'content-disposition': `attachment; filename="${name}"`,
    'cache-control': 'no-store',
  };
}

/** GET /api/read/v1/exports/…: tables and logs of some days, as files that stream. */
import { DAY_MS } from '../../domain/instant.ts';
import { readExportQuerySchema } from '../../wire/read.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { askingOf, NAMES_ARE_FOR_DESKS, NO_PERSONAL_FIGURES } from '../read/asking.ts';
import { dayRange } from '../read/days.ts';
import type { Export } from '../read/exports.ts';
import { type OneAtATime, streamed } from '../read/streamed.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { personalFigures } from '../sheet/personal.ts';

/** In seconds: how soon to ask again while another export is under way. */
const ASK_AGAIN = '10';

/** With names and times together anybody could make the figures about persons that the site has chosen not to have. */
const NO_NAMES = {
  off: NO_PERSONAL_FIGURES,
  lapsed: 'hands: from lies before the days for which the site has figures about single persons',
} as const;

export function answerExport(parts: ServerParts, { file, type, text }: Export, underway: OneAtATime) {
  const { ledger, log, clock } = parts;
  return async (c: AppContext): Promise<Response> => {
    const query = readExportQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const asking = await askingOf(parts, c, query.data.hands);
    if (asking === null) return refuse(c, 'not-allowed', [NAMES_ARE_FOR_DESKS]);
    const { site, standing, view, book } = asking;
    const { from, to } = query.data;
    const range = dayRange({ from, to }, book.timeZone);
    if (range === null) return refuse(c, 'bad-request', ['to: lies before from']);
    if (query.data.hands === 'names') {
      const may = personalFigures(book, { to: range.from + DAY_MS }, clock());
      if (may !== 'asked-for') return refuse(c, 'not-allowed', [NO_NAMES[may]]);
    }

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

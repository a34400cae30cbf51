/** GET /api/read/v1/records and /pairs/{pair}: the records in plain fields, and what they come to for one pair. */
import { cursorAt } from '../../domain/cursor.ts';
import type { Cursor } from '../../domain/ids.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';
import {
  type ReadPairAnswer,
  type ReadRecordsAnswer,
  readHandsQuerySchema,
  readRecordsQuerySchema,
} from '../../wire/read.ts';
import { beginning } from '../beginning.ts';
import { allPlaced } from '../ledger/held.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { askingOf, NAMES_ARE_FOR_DESKS, NO_PERSONAL_FIGURES } from '../read/asking.ts';
import { plainPair } from '../read/plain-pair.ts';
import { plainHeld } from '../read/plain-record.ts';
import { reasonsOf, refuse } from '../refuse.ts';

export function answerReadRecords(parts: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const query = readRecordsQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const { after, limit, hands } = query.data;
    const asking = await askingOf(parts, c, hands);
    if (asking === null) return refuse(c, 'not-allowed', [NAMES_ARE_FOR_DESKS]);
    const { site, standing, view, book } = asking;
    // Page by page it is the table of records: see the export of it.
    if (hands === 'names' && !book.personal.figures) return refuse(c, 'not-allowed', [NO_PERSONAL_FIGURES]);
    const begin = beginning(after as Cursor, standing);
    const held = await parts.ledger.read(site, begin.after, limit);
    const pos = held.at(-1)?.pos ?? begin.after;
    return c.json({
      records: held.map((one) => plainHeld(one, view)),
      cursor: cursorAt({ epoch: standing.epoch, pos }),
      more: pos < standing.head,
      fromStart: begin.fromStart,
    } satisfies ReadRecordsAnswer);
  };
}

export function answerReadPair(parts: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const pair = pairIdSchema.safeParse(c.req.param('pair'));
    if (!pair.success) return refuse(c, 'bad-request', reasonsOf(pair.error));
    const query = readHandsQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const asking = await askingOf(parts, c, query.data.hands);
    if (asking === null) return refuse(c, 'not-allowed', [NAMES_ARE_FOR_DESKS]);
    const held = await parts.ledger.recordsOfPair(asking.site, pair.data);
    const placed = allPlaced(held, asking.standing.epoch);
    if (placed.length === 0) return refuse(c, 'not-found', ['pair: nothing is recorded of it']);
    return c.json(plainPair(pair.data, placed, asking) satisfies ReadPairAnswer);
  };
}

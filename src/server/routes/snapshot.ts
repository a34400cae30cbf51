/** GET /api/snapshot and GET /api/pair/:pair: what a tablet needs without reading all history. */
import { cursorAt, placeOf } from '../../domain/cursor.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';
import { type PairAnswer, type SnapshotAnswer, snapshotQuerySchema } from '../../wire/snapshot.ts';
import type { Standing } from '../ledger/ledger.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { withRecords } from '../raw-records.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import type { Snapshots } from '../snapshots.ts';
import { stateFor } from '../state.ts';

const JSON_TYPE = { 'content-type': 'application/json' };

export function answerSnapshot(parts: ServerParts, snapshots: Snapshots) {
  const { ledger, clock } = parts;
  return async (c: AppContext): Promise<Response> => {
    const query = snapshotQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const { site, bench } = c.get('bench');
    const standing = await ledger.standing(site, bench);
    if (standing === null) throw new Error(`site ${site} is not here`);

    const { at, after } = query.data;
    const head = at === undefined ? null : headIn(placeOf(at), standing);
    const place = head === null || after === undefined ? null : { head, after };
    const page = await snapshots.page(site, standing, place, clock());
    const rest = {
      state: await stateFor(parts, c),
      at: cursorAt({ epoch: standing.epoch, pos: page.head }),
      next: page.next,
    } satisfies Omit<SnapshotAnswer, 'records'>;
    return c.body(withRecords(rest, page.held), 200, JSON_TYPE);
  };
}

/** The position to go on at, or null where the cursor is void and a new snapshot begins: see `pull.ts`. */
function headIn(place: ReturnType<typeof placeOf>, { epoch, head }: Standing): number | null {
  return place !== null && place.epoch === epoch && place.pos <= head ? place.pos : null;
}

export function answerPair(parts: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const pair = pairIdSchema.safeParse(c.req.param('pair'));
    if (!pair.success) return refuse(c, 'bad-request', reasonsOf(pair.error));
    const held = await parts.ledger.recordsOfPair(c.get('bench').site, pair.data);
    const rest = { state: await stateFor(parts, c) } satisfies Omit<PairAnswer, 'records'>;
    return c.body(withRecords(rest, held), 200, JSON_TYPE);
  };
}

/** GET /api/snapshot and GET /api/pair/:pair: what a tablet needs without reading all history. */
import { cursorAt, placeOf } from '../../domain/cursor.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';
import { type PairAnswer, type SnapshotAnswer, snapshotQuerySchema } from '../../wire/snapshot.ts';
import { jsonAnswer } from '../json-answer.ts';
import type { Standing } from '../ledger/ledger.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { withRecords } from '../raw-records.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { SNAPSHOT_RECORDS, SNAPSHOT_RECORDS_MAX, type Snapshots } from '../snapshots.ts';
import { stateFor, stateOf } from '../state.ts';

export function answerSnapshot({ ledger, clock }: ServerParts, snapshots: Snapshots) {
  return async (c: AppContext): Promise<Response> => {
    const query = snapshotQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const { site, bench } = c.get('bench');
    const standing = await ledger.standing(site, bench);
    if (standing === null) throw new Error(`site ${site} is not here`);

    const { at, after } = query.data;
    const head = at === undefined ? null : headIn(placeOf(at), standing);
    const place = head === null || after === undefined ? null : { head, after };
    const page = await snapshots.page(site, standing, place, clock(), recordsWanted(c));
    const rest = {
      state: stateOf(standing, { receivedAt: c.get('receivedAt'), answeredAt: clock() }),
      at: cursorAt({ epoch: standing.epoch, pos: page.head }),
      next: page.next,
    } satisfies Omit<SnapshotAnswer, 'records'>;
    return jsonAnswer(c, withRecords(rest, page.held));
  };
}

/** A tablet that keeps pairs packed takes four times as many at once; one that does not know of it says nothing. */
function recordsWanted(c: AppContext): number {
  const wanted = c.req.query('records') ?? '';
  if (!/^[1-9]\d{0,5}$/.test(wanted)) return SNAPSHOT_RECORDS;
  return Math.min(Number(wanted), SNAPSHOT_RECORDS_MAX);
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
    return jsonAnswer(c, withRecords(rest, held));
  };
}

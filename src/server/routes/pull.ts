/** GET /api/pull: everybody's records after a cursor. */
import { cursorAt } from '../../domain/cursor.ts';
import { type PullAnswer, pullQuerySchema } from '../../wire/pull.ts';
import { beginning } from '../beginning.ts';
import { jsonAnswer } from '../json-answer.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { withRecords } from '../raw-records.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { stateOf } from '../state.ts';

export function answerPull({ ledger, clock }: ServerParts) {
  return async (c: AppContext): Promise<Response> => {
    const query = pullQuerySchema.safeParse(c.req.query());
    if (!query.success) return refuse(c, 'bad-request', reasonsOf(query.error));
    const { site, bench } = c.get('bench');
    const standing = await ledger.standing(site, bench);
    if (standing === null) throw new Error(`site ${site} is not here`);

    const { after, fromStart } = beginning(query.data.after, standing);
    // What was committed since the standing was asked for is for the next answer: all of this one is as of one moment.
    const held = (await ledger.read(site, after, query.data.limit)).filter(({ pos }) => pos <= standing.head);
    const pos = held.at(-1)?.pos ?? after;
    const rest = {
      state: stateOf(standing, { receivedAt: c.get('receivedAt'), answeredAt: clock() }),
      cursor: cursorAt({ epoch: standing.epoch, pos }),
      more: pos < standing.head,
      fromStart,
    } satisfies Omit<PullAnswer, 'records'>;
    return jsonAnswer(c, withRecords(rest, held));
  };
}

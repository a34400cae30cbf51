/** POST /api/push: records from a bench, answered one by one. */
import { PUSH_BYTES_MAX, PUSH_RECORDS_MAX, type PushAnswer, pushSchema } from '../../wire/push.ts';
import type { RefusalAnswer } from '../../wire/refusal.ts';
import { readBody } from '../body.ts';
import { jsonAnswer } from '../json-answer.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { stateFor } from '../state.ts';

export function answerPush(parts: ServerParts) {
  const { ledger, announcer } = parts;
  return async (c: AppContext): Promise<Response> => {
    const body = await readBody(c, PUSH_BYTES_MAX);
    if (body.is === 'refused') return body.answer;
    const push = pushSchema.safeParse(body.value);
    if (!push.success) {
      const tooMany = push.error.issues.some(({ code, path }) => code === 'too_big' && path[0] === 'records');
      if (tooMany) return refuse(c, 'too-large', [`records: more than ${PUSH_RECORDS_MAX}`]);
      return refuse(c, 'bad-request', reasonsOf(push.error));
    }

    const bench = c.get('bench');
    const answers = await ledger.append(bench, push.data.records, c.get('receivedAt'));
    if (answers.some(({ answer }) => answer === 'stored')) announcer.announce(bench.site);
    const answer = { state: await stateFor(parts, c), answers: [...answers] } satisfies PushAnswer;
    const refused = answers.filter((one) => one.answer === 'refused');
    if (refused.length === 0) return jsonAnswer(c, JSON.stringify(answer));
    // A refusal and the answers in one: what was sent beside the bad records is held, and the sender learns it.
    const reasons = [`records: ${refused.length} of ${answers.length} refused`];
    const told = { ...answer, refused: 'bad-request', reasons } satisfies PushAnswer & RefusalAnswer;
    return jsonAnswer(c, JSON.stringify(told), 400);
  };
}

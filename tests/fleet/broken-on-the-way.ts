/** Builds that break what a tablet does with the server's answers. */
import type { RecordId } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { uuidv7 } from '../../src/domain/uuid.ts';
import type { Answer } from '../../src/tablet/sync/server.ts';
import type { PushAnswer } from '../../src/wire/push.ts';
import type { BrokenBuild } from './broken-build.ts';
import { Chance } from './chance.ts';
import { over } from './over.ts';

const idsOf = (records: readonly LedgerRecord[]) => records.map(({ id }) => id);

/** The answers, changed; anything that is no answer stays as it is. */
function withAnswers(
  answer: Answer<PushAnswer>,
  change: (one: PushAnswer['answers'][number]) => PushAnswer['answers'][number],
): Answer<PushAnswer> {
  if (answer.is !== 'answer') return answer;
  return { ...answer, body: { ...answer.body, answers: answer.body.answers.map(change) } };
}

/** Another id for the same record, the same one at every run. */
export function idLike(id: string, times: number): RecordId {
  return uuidv7(1_793_606_400_000, new Chance(`${id} again ${times}`).bytes(10));
}

export const ON_THE_WAY: readonly BrokenBuild[] = [
  {
    name: 'the outbox is emptied before the answer',
    server: (server, ledger) =>
      over(server, {
        push: async (records, signal) => {
          await ledger.confirm(idsOf(records));
          return server.push(records, signal);
        },
      }),
  },
  {
    name: 'a 200 confirms the batch, whoever it came from',
    server: (server, ledger) =>
      over(server, {
        push: async (records, signal) => {
          const answer = await server.push(records, signal);
          const foreign = answer.is === 'unreachable' && answer.why === 'not-our-server';
          if (foreign) await ledger.confirm(idsOf(records));
          return answer;
        },
      }),
  },
  {
    name: 'what the server refuses counts as confirmed',
    server: (server) =>
      over(server, {
        push: async (records, signal) =>
          withAnswers(await server.push(records, signal), (one) => ({ ...one, answer: 'had' })),
      }),
  },
  {
    name: 'a tablet that is not allowed in forgets what waits',
    server: (server, _ledger, { store }) =>
      over(server, {
        pull: async (after, signal) => {
          const answer = await server.pull(after, signal);
          if (answer.is !== 'not-allowed') return answer;
          for (const id of store.outbox.keys()) store.records.delete(id);
          store.outbox.clear();
          return answer;
        },
      }),
  },
  {
    name: 'a server that is away counts as one that refuses',
    server: (server, ledger) =>
      over(server, {
        push: async (records, signal) => {
          const answer = await server.push(records, signal);
          if (answer.is === 'busy')
            await ledger.refuse(idsOf(records).map((id) => ({ id, reasons: ['the server is away'] })));
          return answer;
        },
      }),
  },
  {
    name: 'an id is new at every try to send',
    server: (server) => {
      const tried = new Map<string, number>();
      const sentAs = (record: LedgerRecord): LedgerRecord => {
        const times = tried.get(record.id) ?? 0;
        tried.set(record.id, times + 1);
        return times === 0 ? record : { ...record, id: idLike(record.id, times) };
      };
      return over(server, {
        push: async (records, signal) =>
          withAnswers(await server.push(records.map(sentAs), signal), (one) => ({
            ...one,
            id: records[one.index]?.id ?? null,
          })),
      });
    },
  },
  {
    name: 'records are booked to whoever is on when they are sent',
    server: (server) =>
      over(server, {
        push: (records, signal) => {
          const on = records.at(-1)?.by ?? null;
          return server.push(
            records.map((record) => (on === null ? record : { ...record, by: on })),
            signal,
          );
        },
      }),
  },
  {
    name: 'after five failures in a row nobody asks again',
    sleep: (sleep, restMs) => {
      let failures = 0;
      return (ms, signal) => {
        failures = ms === restMs ? 0 : failures + 1;
        return failures > 5 ? new Promise(() => undefined) : sleep(ms, signal);
      };
    },
  },
];

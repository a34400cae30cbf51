/** Builds that break what the server holds and says. */
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import type { AppendAnswer, ServerLedger } from '../../src/server/ledger/ledger.ts';
import type { BrokenBuild } from './broken-build.ts';
import { idLike } from './broken-on-the-way.ts';
import { over } from './over.ts';

/** Answers with `stored` for what is not appended, and really appends the others. */
async function appendOnly(
  ledger: ServerLedger,
  [writer, raws, receivedAt]: Parameters<ServerLedger['append']>,
  fits: (raw: unknown) => boolean,
): Promise<readonly AppendAnswer[]> {
  const chosen = raws.filter(fits);
  const answers = chosen.length > 0 ? await ledger.append(writer, chosen, receivedAt) : [];
  return raws.map((raw, index) => {
    const answer = answers[chosen.indexOf(raw)];
    return answer === undefined ? answerTo(raw, index, 'stored') : { ...answer, index };
  });
}

function answerTo(raw: unknown, index: number, answer: AppendAnswer['answer']): AppendAnswer {
  const { id } = raw as { readonly id?: unknown };
  const reasons = answer === 'refused' ? ['records: one of them is bad'] : [];
  return { id: typeof id === 'string' ? id : null, index, answer, reasons };
}

export const AT_THE_SERVER: readonly BrokenBuild[] = [
  {
    name: 'the server answers before it has committed',
    serverLedger: (ledger, { scheduler, alive }) =>
      over(ledger, {
        append: async (writer, raws, receivedAt) => {
          scheduler.after(400, () => {
            if (alive())
              void scheduler.work(() => ledger.append(writer, raws, receivedAt)).catch(() => undefined);
          });
          return raws.map((raw, index) => answerTo(raw, index, 'stored'));
        },
      }),
  },
  {
    name: 'a push that comes twice is held twice',
    serverLedger: (ledger) =>
      over(ledger, {
        append: async (writer, raws, receivedAt) => {
          const answers = await ledger.append(writer, raws, receivedAt);
          const again = answers
            .filter(({ answer }) => answer === 'had')
            .map(({ index }) => raws[index] as LedgerRecord)
            .map((record) => ({ ...record, id: idLike(record.id, receivedAt) }));
          if (again.length > 0) await ledger.append(writer, again, receivedAt);
          return answers;
        },
      }),
  },
  {
    name: 'a number that is held already counts as the record',
    serverLedger: (ledger) =>
      over(ledger, {
        append: async (writer, raws, receivedAt) => {
          const { heldSeq } = (await ledger.standing(writer.site, writer.bench)) ?? { heldSeq: 0 };
          return appendOnly(ledger, [writer, raws, receivedAt], (raw) => (raw as LedgerRecord).seq > heldSeq);
        },
      }),
  },
  {
    name: 'a position is read before an earlier one is committed',
    serverLedger: (ledger, { scheduler }) => {
      const late = new Map<number, number>();
      return over(ledger, {
        append: async (writer, raws, receivedAt) => {
          const answers = await ledger.append(writer, raws, receivedAt);
          const { head } = (await ledger.standing(writer.site, writer.bench)) ?? { head: 0 };
          if (head % 3 === 0 && !late.has(head)) late.set(head, scheduler.now + 3_000);
          return answers;
        },
        read: async (site, after, limit) => {
          const rows = await ledger.read(site, after, limit);
          return rows.filter(({ pos }) => (late.get(pos) ?? 0) <= scheduler.now);
        },
      });
    },
  },
  {
    name: 'a restored server goes on in its old epoch',
    restoresWithoutNewEpoch: true,
  },
  {
    name: 'what a newer tablet adds to a record is stripped',
    serverLedger: (ledger) =>
      over(ledger, {
        append: (writer, raws, receivedAt) => {
          const asRead = (raw: unknown) => {
            const read = readRecord(raw);
            return read.is === 'record' ? read.record : raw;
          };
          return ledger.append(writer, raws.map(asRead), receivedAt);
        },
      }),
  },
  {
    name: 'what only a newer tablet knows is dropped',
    serverLedger: (ledger) =>
      over(ledger, {
        append: (...given) => appendOnly(ledger, given, (raw) => readRecord(raw).is !== 'newer'),
      }),
  },
  {
    name: 'one bad record takes the good ones with it',
    serverLedger: (ledger) =>
      over(ledger, {
        append: async (writer, raws, receivedAt) => {
          const bad = raws.some((raw) => readRecord(raw).is === 'bad');
          if (!bad) return ledger.append(writer, raws, receivedAt);
          return raws.map((raw, index) => answerTo(raw, index, 'refused'));
        },
      }),
  },
  {
    name: 'gaps and numbers used twice are not reported',
    serverLedger: (ledger) => over(ledger, { sequenceFaults: async () => [] }),
  },
];

/** What a tablet could not send, taken in from its file: once, whoever it was, and with its reasons where it is not. */
import { expect, test } from 'vitest';
import type { BenchId } from '../../src/domain/ids.ts';
import { officeCommand } from '../../src/server/office/command.ts';
import { outboxText } from '../../src/wire/outbox-file.ts';
import { handAt, MONDAY_8, SITE } from '../support/builders.ts';
import { DATASET, testServer } from '../support/server.ts';

const FILE = 'outbox.jsonl';

async function office() {
  const server = await testServer();
  const tablet = await server.enrol();
  const files = new Map<string, string>();
  const order = (...args: string[]) =>
    officeCommand(args, {
      ...server,
      now: server.now,
      write: (path, text) => files.set(path, text),
      read: (path) => {
        const text = files.get(path);
        if (text === undefined) throw new Error('no such file');
        return text;
      },
    });
  const takeIn = (text: string) => {
    files.set(FILE, text);
    return order('take-in', '--file', FILE);
  };
  return { server, tablet, order, takeIn };
}

const headOf = (bench: BenchId) => ({
  waxend: 'outbox' as const,
  v: 1 as const,
  site: SITE,
  dataset: DATASET,
  bench,
  name: 'Welting',
  madeAt: MONDAY_8,
});

const three = (bench: BenchId) => {
  const hand = handAt(bench);
  return [hand.write('clocked-in'), hand.write('noted'), hand.write('taken-up')];
};

test('a file is taken in, and again it changes nothing', async () => {
  const { server, tablet, takeIn } = await office();
  const records = three(tablet.bench);
  const text = outboxText(headOf(tablet.bench), records);
  expect(await takeIn(text)).toEqual({ exitCode: 0, says: '3 taken in, 0 held already, 0 not taken.' });
  expect((await server.ledger.read(SITE, 0, 10)).map(({ json }) => JSON.parse(json))).toEqual(records);
  expect(await takeIn(text)).toEqual({ exitCode: 0, says: '0 taken in, 3 held already, 0 not taken.' });
});

test('records of a tablet whose key was taken away are refused over the network and taken in from its file', async () => {
  const { server, tablet, order, takeIn } = await office();
  const records = three(tablet.bench);
  await order('revoke-bench', '--bench', tablet.bench);
  const pushed = await tablet.push(records);
  expect([pushed.status, await pushed.json()]).toEqual([403, { refused: 'key-revoked', reasons: [] }]);
  expect((await takeIn(outboxText(headOf(tablet.bench), records))).says).toContain('3 taken in');
  expect(await server.ledger.standing(SITE, tablet.bench)).toMatchObject({ head: 3, heldSeq: 3 });
});

test('lines that were read off symbols need no first line', async () => {
  const { tablet, takeIn } = await office();
  const [first, , third] = three(tablet.bench);
  const lines = `\uFEFF${JSON.stringify(third)}\r\n\n${JSON.stringify(first)}`;
  expect((await takeIn(lines)).says).toBe('2 taken in, 0 held already, 0 not taken.');
});

test('one that does not read is told with its line and its reasons, and the others are taken in', async () => {
  const { tablet, takeIn } = await office();
  const [first, second, third] = three(tablet.bench);
  const text = outboxText(headOf(tablet.bench), [first, { ...second, weight: 'heavy' }, third]);
  const { exitCode, says } = await takeIn(text);
  expect(exitCode).toBe(0);
  expect(says).toMatch(/^2 taken in, 0 held already, 1 not taken\.\nline 3: not taken: weight: /);
});

test.each([
  ['nothing in it', () => '', 'there is nothing in it'],
  ['cut off', (text: string) => text.slice(0, -9), 'line 4: is no JSON'],
  [
    'of another ledger',
    (text: string) => text.replace(DATASET, 'another-body-of-data'),
    'another site or ledger',
  ],
  [
    'a tablet that nobody knows',
    (text: string, bench: string) => text.replaceAll(bench, 'b-nobody'),
    'b-nobody',
  ],
  ['no record', (text: string) => text.replace(/^.*\n/, '17\n'), 'line 1: is no record'],
])('%s: nothing is taken in', async (_, spoilt, says) => {
  const { server, tablet, takeIn } = await office();
  const text = outboxText(headOf(tablet.bench), three(tablet.bench));
  const outcome = await takeIn(spoilt(text, tablet.bench));
  expect(outcome).toMatchObject({ exitCode: 2, says: expect.stringContaining(says) });
  expect(await server.ledger.read(SITE, 0, 10)).toEqual([]);
});

test('a file that is not there is told', async () => {
  const { order } = await office();
  expect(await order('take-in', '--file', 'elsewhere')).toMatchObject({
    exitCode: 2,
    says: 'elsewhere: cannot be read: no such file',
  });
});

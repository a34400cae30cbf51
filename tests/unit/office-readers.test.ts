/** Readers made and taken back by the office command. */
import { expect, test } from 'vitest';
import { codeHash } from '../../src/domain/code-hash.ts';
import { officeCommand } from '../../src/server/office/command.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { SITE, WLT } from '../support/builders.ts';
import { json, testServer } from '../support/server.ts';

async function office() {
  const server = await testServer();
  const order = async (...args: string[]) =>
    officeCommand(args, {
      ...server,
      now: server.now,
      write: () => {
        throw new Error('nothing is written');
      },
      read: () => {
        throw new Error('nothing is read');
      },
    });
  const done = async (...args: string[]) => {
    const { exitCode, says } = await order(...args);
    expect([exitCode, says]).toEqual([0, says]);
    return says;
  };
  const records = (key: string) => server.fetch('/api/read/v1/records', { key });
  return { server, order, done, records };
}

const tokenIn = (says: string) => /Token of [^:]+: ([0-9a-f]{64})\n/.exec(says)?.[1] ?? '';

test('a reader’s token is said once, and reads', async () => {
  const { server, done, records } = await office();
  const token = tokenIn(await done('add-reader', 'Accounts'));
  expect((await records(token)).status).toBe(200);
  expect((await records('0'.repeat(64))).status).toBe(401);
  const list = await done('list');
  expect(list).toMatch(/Readers\n {2}Accounts, since 2026-11-02T08:00:00.000Z/);
  expect(list).toContain('Tablets\n  none');
  // The ledger holds its hash: the token is in nothing that can be read of it.
  const held = JSON.stringify([await server.ledger.benches(SITE), await server.ledger.book(SITE), list]);
  expect(held).not.toContain(token);
  expect(await server.ledger.benchOfKey(codeHash(token))).toMatchObject({
    place: 'reader',
    name: 'Accounts',
  });
});

test('a revoked reader reads nothing, stays in the list as such, and its name is free again', async () => {
  const { server, done, records } = await office();
  const token = tokenIn(await done('add-reader', '--name', 'Accounts'));
  server.now += 1000;
  expect(await done('revoke-reader', 'Accounts')).toContain('reads nothing any more');
  expect((await records(token)).status).toBe(403);
  expect(await done('list')).toContain('Accounts, revoked 2026-11-02T08:00:01.000Z');
  const again = tokenIn(await done('add-reader', 'Accounts'));
  expect(again).not.toBe(token);
  expect([(await records(token)).status, (await records(again)).status]).toEqual([403, 200]);
  // The one that stands is meant, not the one of before.
  await done('revoke-reader', 'Accounts');
  expect((await records(again)).status).toBe(403);
});

test('readers take no lane from tablets, and stand in no book that tablets get', async () => {
  const { server, done } = await office();
  const enrol = async (token: string) => {
    const code = { hash: codeHash(token), name: 'Welting', place: 'bench' as const, stages: [WLT] };
    await server.ledger.addSetUpCode(SITE, { ...code, until: server.now + 1000, uses: 1 });
    const answer = await server.fetch('/api/enrol', json({ token, persisted: null }));
    return enrolAnswerSchema.parse(await answer.json());
  };
  const first = await enrol('first');
  for (const name of ['A', 'B', 'C']) await done('add-reader', name);
  const second = await enrol('second');
  expect(second.lane).toBe(first.lane + 1);
  expect(second.book.benches.map(({ name }) => name)).toEqual(['Welting', 'Welting 2']);
  const lanes = (await server.ledger.benches(SITE)).map(({ lane }) => lane);
  expect(new Set(lanes).size).toBe(lanes.length);
});

test.each([
  [['add-reader'], '--name is missing.'],
  [['add-reader', ' '], 'name: Too small'],
  [['add-reader', 'x'.repeat(61)], 'Too big'],
  [['add-reader', 'two\nlines'], 'holds control characters'],
  [['add-reader', 'Accounts', 'too'], 'One order at a time'],
  [['add-reader', 'Taken'], 'there is a reader Taken already'],
  [['revoke-reader'], '--name is missing.'],
  [['revoke-reader', 'Nobody'], 'there is no reader Nobody'],
  [['list', 'Taken'], 'One order at a time'],
  [['add-bench', '--name', 'B', '--place', 'reader'], '--place: one of bench, desk.'],
])('%j is told what is wrong, and nobody is added or revoked', async (args, says) => {
  const { server, order, done } = await office();
  await done('add-reader', 'Taken');
  const before = await server.ledger.benches(SITE);
  const outcome = await order(...args);
  expect([outcome.exitCode, outcome.says]).toEqual([2, expect.stringContaining(says)]);
  expect(await server.ledger.benches(SITE)).toEqual(before);
});

test('the help names both orders', async () => {
  const { done } = await office();
  expect(await done('--help')).toMatch(/add-reader NAME[\s\S]*revoke-reader NAME/);
});

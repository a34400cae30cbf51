/** A few rounds; `npm run kill -- --browser --rounds N` goes on for as long as one likes. */
import { describe, expect, test } from 'vitest';
import { accountOfBrowser, brokenIn } from './browser-account.ts';
import { brokenInReport, killBrowserRounds, wordsForBrowser } from './browser-rounds.ts';
import type { Held } from './held.ts';

const ROUNDS = 3;
const PATIENCE_MS = 180_000;

test('a browser killed while it records: all that it showed as made is there, once, with its entry in the outbox', {
  timeout: PATIENCE_MS,
}, async () => {
  const report = await killBrowserRounds({ rounds: ROUNDS, seed: 4 });
  expect(brokenInReport(report)).toEqual([]);
  expect(report.kills).toBe(ROUNDS);
  expect(report.found).toBe(report.acknowledged);
  expect(report.acknowledged).toBeGreaterThan(ROUNDS * 5);
  console.log(wordsForBrowser(report));
});

describe('the account of a browser', () => {
  const row = (seq: number, words: string) => ({
    id: `record ${seq}`,
    bench: 'welting',
    seq,
    raw: { id: `record ${seq}`, seq, text: words },
  });
  const entry = (seq: number) => ({ id: `record ${seq}`, bench: 'welting', seq, state: 'waiting' });
  const good: Held = {
    records: [row(1, 'act a 1/1'), row(2, 'act b 1/2'), row(3, 'act b 2/2')],
    outbox: [entry(1), entry(2), entry(3)],
  };
  const told = new Map(good.records.slice(0, 2).map(({ id, raw }) => [id, JSON.stringify(raw)]));
  const brokenBy = (held: Partial<Held>) => brokenIn(accountOfBrowser(told, { ...good, ...held }));
  const [first, second, third] = good.records;

  test('finds nothing where nothing is wrong, and counts what was not heard of', () => {
    const account = accountOfBrowser(told, good);
    expect(brokenIn(account)).toEqual([]);
    expect(account).toMatchObject({ acknowledged: 2, found: 2, untold: 1 });
  });

  test.each<[string, Partial<Held>, readonly string[]]>([
    [
      'a record that is gone',
      { records: [second, third].flatMap((one) => one ?? []) },
      ['1 lost', '1 unsent'],
    ],
    ['other words', { records: [row(1, 'act c 1/1'), ...good.records.slice(1)] }, ['1 altered']],
    [
      'a number twice',
      { records: [...good.records, { ...row(3, 'act d 1/1'), id: 'record 4' }] },
      ['1 doubled'],
    ],
    ['an act twice', { records: [...good.records, row(4, 'act a 1/1')] }, ['1 doubled']],
    ['an entry twice', { outbox: [...good.outbox, { ...entry(3), seq: 4 }] }, ['1 doubled']],
    ['no entry', { outbox: good.outbox.slice(1) }, ['1 unsent']],
    [
      'an entry under another number',
      { outbox: [entry(1), entry(2), { ...entry(3), seq: 5 }] },
      ['1 unsent'],
    ],
    [
      'an entry that does not wait',
      { outbox: [entry(1), entry(2), { ...entry(3), state: 'refused' }] },
      ['1 unsent'],
    ],
    [
      'half an act',
      { records: [first, second].flatMap((one) => one ?? []), outbox: good.outbox.slice(0, 2) },
      ['1 torn'],
    ],
    [
      'a number left out',
      { records: [...good.records, row(5, 'act e 1/1')], outbox: [...good.outbox, entry(5)] },
      ['1 gaps'],
    ],
  ])('is broken by %s', (_, held, says) => {
    for (const fault of says) expect(brokenBy(held)).toContain(fault);
  });
});

/** A few rounds of each; `npm run kill -- --rounds N` goes on for as long as one likes. */
import { describe, expect, test } from 'vitest';
import { postgresPrograms } from '../support/postgres-cluster.ts';
import { broken } from './account.ts';
import { killRounds } from './rounds.ts';

const ROUNDS = 5;
const PATIENCE_MS = 120_000;
const noPostgres = postgresPrograms() === null || process.env.WAXEND_TEST_POSTGRES === 'none';

describe('killed without a word under load', () => {
  test('a server on SQLite: all that it confirmed is there, once', { timeout: PATIENCE_MS }, async () => {
    const report = await killRounds({ store: 'sqlite', rounds: ROUNDS, seed: 4 });
    expect(broken(report)).toEqual([]);
    expect(report).toMatchObject({ kills: { server: ROUNDS }, fell: 0 });
    expect(report.acknowledged).toBeGreaterThan(ROUNDS * 20);
    console.log(wordsFor(report));
  });

  test.skipIf(noPostgres)(
    'one of two servers on PostgreSQL, or a session of the database: all that was confirmed is there, once',
    { timeout: PATIENCE_MS },
    async () => {
      const report = await killRounds({ store: 'postgres', rounds: ROUNDS, seed: 4 });
      expect(broken(report)).toEqual([]);
      expect(report).toMatchObject({ fell: 0 });
      expect(report.kills.server).toBeGreaterThan(0);
      expect(report.kills.backend).toBeGreaterThan(0);
      expect(report.acknowledged).toBeGreaterThan(ROUNDS * 20);
      console.log(wordsFor(report));
    },
  );
});

describe('the account', () => {
  test('is broken by each thing that must not be', () => {
    const good = {
      made: 3,
      acknowledged: 2,
      found: 2,
      lost: 0,
      doubled: 0,
      altered: 0,
      strange: 0,
      outOfTurn: 0,
    };
    expect(broken(good)).toEqual([]);
    for (const name of ['lost', 'doubled', 'altered', 'strange', 'outOfTurn']) {
      expect(broken({ ...good, [name]: 1 })).toEqual([`1 ${name}`]);
    }
  });
});

function wordsFor({
  store,
  kills,
  acknowledged,
  found,
  lost,
  doubled,
}: Awaited<ReturnType<typeof killRounds>>) {
  const killed = kills.server + kills.backend;
  return `${store}: ${killed} kills, ${acknowledged} acknowledged, ${found} found, ${lost} lost, ${doubled} doubled`;
}

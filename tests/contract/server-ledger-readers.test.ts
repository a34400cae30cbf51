/** What the server's ledger promises to readers, on both databases. */
import { afterEach, describe, expect, test } from 'vitest';
import { asBenchId, asPairId } from '../../src/domain/ids.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openPostgresLedger } from '../../src/server/ledger/postgres.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { handAt, MONDAY_8, SITE, WELTING } from '../support/builders.ts';
import { postgresForTests } from '../support/postgres.ts';
import { newSiteOf } from '../support/server.ts';

const postgres = postgresForTests();
const opened: ServerLedger[] = [];
afterEach(async () => {
  for (const ledger of opened.splice(0)) await ledger.close();
});

const OPENERS = [
  ['SQLite', false, () => openSqliteLedger(':memory:')],
  ['PostgreSQL', postgres === null, async () => openPostgresLedger((await postgres?.database()) ?? '')],
] as const;

describe.each(OPENERS)('%s', (_, without, open) => {
  const ready = async () => {
    const ledger = await open();
    opened.push(ledger);
    await ledger.createSite(newSiteOf());
    return ledger;
  };
  const reader = (name: string, number: number) => ({
    reader: asBenchId(`r-${number}`),
    name,
    keyHash: String(number).repeat(64),
    now: MONDAY_8 + number,
  });

  test.skipIf(without)('readers get numbers of their own, and of one name only one stands', async () => {
    const ledger = await ready();
    const made = await Promise.all(
      ['A', 'B', 'A'].map((name, index) => ledger.addReader(SITE, reader(name, index))),
    );
    expect(made.filter((entry) => entry !== null).map(({ name }) => name)).toEqual(['A', 'B']);
    expect((await ledger.benches(SITE)).map(({ lane }) => lane).toSorted()).toEqual([-1, -2]);
    await ledger.revokeBench(SITE, asBenchId('r-0'), MONDAY_8 + 5);
    expect(await ledger.addReader(SITE, reader('A', 4))).toMatchObject({
      lane: -3,
      place: 'reader',
      revokedAt: null,
    });
  });

  test.skipIf(without)('the key of the pseudonyms is drawn once, whoever asks first', async () => {
    const ledger = await ready();
    const keys = await Promise.all(
      ['a', 'b', 'c'].map((letter) => ledger.pseudonymKey(SITE, letter.repeat(64))),
    );
    expect(new Set(keys).size).toBe(1);
    expect(await ledger.pseudonymKey(SITE, 'd'.repeat(64))).toBe(keys[0]);
  });

  test.skipIf(without)('the pairs of a span are those with a record in it, its end left out', async () => {
    const ledger = await ready();
    const hand = handAt(WELTING);
    const records = [0, 1, 2, 3].map((minute) =>
      hand.write('found-here', { pair: asPairId(`P000000${3 - minute}`), at: MONDAY_8 + minute }),
    );
    records.push(hand.write('found-here', { pair: asPairId('P0000002'), at: MONDAY_8 + 2 }));
    await ledger.append({ site: SITE, bench: WELTING, place: 'bench' }, records, MONDAY_8);
    await ledger.append(
      { site: SITE, bench: WELTING, place: 'bench' },
      [hand.write('badged-on', { at: MONDAY_8 + 1 })],
      MONDAY_8,
    );
    expect(await ledger.pairsBetween(SITE, MONDAY_8 + 1, MONDAY_8 + 3)).toEqual(['P0000001', 'P0000002']);
    expect(await ledger.pairsBetween(SITE, MONDAY_8 + 9, MONDAY_8 + 99)).toEqual([]);
  });

  test.skipIf(without)('a reader writes nothing, even where it is taken for a writer', async () => {
    const ledger = await ready();
    const entry = await ledger.addReader(SITE, reader('A', 1));
    if (entry === null) throw new Error('there is no reader');
    const answers = await ledger.append(entry, [handAt(entry.bench).write('clocked-in')], MONDAY_8);
    expect(answers).toMatchObject([{ answer: 'refused', reasons: ['place: a reader writes nothing'] }]);
    expect(await ledger.read(SITE, 0, 10)).toEqual([]);
  });
});

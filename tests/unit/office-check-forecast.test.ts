/** The office command that holds the forecast against what came, over a real ledger with a small workshop in it. */
import { expect, test } from 'vitest';
import { makeWorkshop } from '../../demo-data/records.ts';
import { seedDemo } from '../../demo-data/seed.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { officeCommand } from '../../src/server/office/command.ts';
import { MONDAY_8 } from '../support/builders.ts';
import { newSiteOf } from '../support/server.ts';

const desk = (ledger: Awaited<ReturnType<typeof openSqliteLedger>>) => ({
  ledger,
  now: MONDAY_8,
  random: (bytes: number) => new Uint8Array(bytes),
  write: () => undefined,
  read: () => '',
});

test('says how far off the forecasts of past days were, and two rules of thumb beside them', async () => {
  const ledger = await openSqliteLedger(':memory:');
  const workshop = makeWorkshop({ seed: 7, endsAt: MONDAY_8, openPairs: 40, workingDays: 30 });
  await seedDemo({ ledger, workshop });
  const { exitCode, says } = await officeCommand(['check-forecast'], desk(ledger));
  expect(exitCode).toBe(0);
  expect(says).toMatch(/^\d+ forecasts of past days/);
  expect(says).toMatch(/within their interval {3}\d+ %, where they say 80 %/);
  expect(says.match(/\d\.\d\d days off on average/g)).toHaveLength(3);
  await ledger.close();
}, 120_000);

test('says why where there is nothing to look back on', async () => {
  const ledger = await openSqliteLedger(':memory:');
  await ledger.createSite(newSiteOf());
  const { exitCode, says } = await officeCommand(['check-forecast'], desk(ledger));
  expect([exitCode, says]).toEqual([2, 'No tablet has been set up here yet, so there are no records.']);
  await ledger.close();
});
